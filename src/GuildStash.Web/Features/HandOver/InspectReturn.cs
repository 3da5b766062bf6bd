using GuildStash.Data.Approvals;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.HandOver;

/// <param name="Passed">True: back to the lot's bin. False: thrown away.</param>
/// <param name="Conditions">What was found now; smells of yarn that passed stay noted on the lot. Null: what was noted when it came back.</param>
public sealed record ReturnInspection(bool Passed, string? Note, IReadOnlyList<string>? Conditions = null);

/// <param name="ApprovalId">The request to throw it away that waits for a second person; null where the return is settled.</param>
public sealed record InspectedReturn(Guid? ApprovalId);

/// <summary>Settles leftovers that wait in quarantine: free again, or thrown away; more than a ball's worth with a second person.</summary>
public sealed class InspectReturn(GuildWork work)
{
    public Task<Outcome<InspectedReturn>> RunAsync(Guid by, Guid returnId, ReturnInspection inspection, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => InspectAsync(act, returnId, inspection), cancellation);

    private static async Task<Outcome<InspectedReturn>> InspectAsync(Act act, Guid returnId, ReturnInspection inspection)
    {
        Check check = new();
        string note = inspection.Passed ? check.Text(inspection.Note, "note", 1000) : check.Needed(inspection.Note, "note", 1000);
        Conditions? found = inspection.Conditions is null ? null : check.Take(ConditionRules.FromKeys(inspection.Conditions));
        if (check.Failed)
        {
            return check.Refuse<InspectedReturn>();
        }

        Guid lotId = await act.Db.LotReturns.Where(r => r.Id == returnId).Select(r => r.LotId).SingleOrDefaultAsync(act.Cancellation);
        IReadOnlyCollection<Guid> kin = inspection.Passed ? [] : await LeftAlone.LockKinAsync(act, lotId);
        Outcome<(Lot, LotReturn)> taken = await TakeAsync(act, lotId, returnId);
        if (!taken.IsOk)
        {
            return Outcome<InspectedReturn>.Refused(taken.Refusals);
        }

        (Lot lot, LotReturn back) = taken.Value;

        // A look later corrects what was noticed at first, except for what stays noted for good.
        back.Conditions = ConditionRules.Together(found ?? back.Conditions ?? Conditions.None, (back.Conditions ?? Conditions.None) & ConditionRules.ForGood);
        back.InspectionNote = note;
        if (!inspection.Passed)
        {
            return await ThrowAwayAsync(act, lot, back, await LeftAlone.MgAsync(act, kin));
        }

        if (MayNotPass(lot, back.Conditions.Value) is { } refusal)
        {
            return refusal;
        }

        Outcome<Bin> shelf = await ReturnShelf.FindAsync(act, lot);
        if (!shelf.IsOk)
        {
            return Outcome<InspectedReturn>.Refused(shelf.Refusals);
        }

        lot.Conditions |= back.Conditions.Value;
        await SettleAsync(act, lot, back, Place.Bin(shelf.Value.Id, false), MovementReason.Released, null);
        return new InspectedReturn(null);
    }

    /// <summary>Mould and insects leave the room at once, and a ball's worth of others does.</summary>
    private static async Task<Outcome<InspectedReturn>> ThrowAwayAsync(Act act, Lot lot, LotReturn back, long aloneBefore)
    {
        bool shut = ConditionRules.StaysShut(back.Conditions ?? Conditions.None) || ConditionRules.StaysShut(lot.Conditions);
        if (shut || !WriteOffRules.NeedsSecondPerson(back.Mg, aloneBefore))
        {
            await SettleAsync(act, lot, back, Place.Waste, MovementReason.Discarded, null);
            return new InspectedReturn(null);
        }

        WriteOffRequest request = new(lot.Code, null, back.Mg, back.Mg, WriteOffTo.Waste, back.InspectionNote, back.Id);
        ApprovalSubject subject = new(LotCode.Parse(lot.Code).Value.Display, back.Mg, [lot.Id]);
        Outcome<Approval> asked = await AskSecondPerson.ForAsync(act, ApprovalKind.WriteOff, request, subject);
        return asked.IsOk ? new InspectedReturn(asked.Value.Id) : Outcome<InspectedReturn>.Refused(asked.Refusals);
    }

    /// <summary>Throws away what a second person approved.</summary>
    /// <returns>Milligrams thrown away.</returns>
    internal static async Task<Outcome<long>> ApprovedAsync(Act act, Guid lotId, Guid returnId, Guid approvalId)
    {
        Outcome<(Lot Lot, LotReturn Back)> taken = await TakeAsync(act, lotId, returnId);
        if (!taken.IsOk)
        {
            return Outcome<long>.Refused(taken.Refusals);
        }

        await SettleAsync(act, taken.Value.Lot, taken.Value.Back, Place.Waste, MovementReason.Discarded, approvalId);
        return taken.Value.Back.Mg;
    }

    /// <summary>The lot, locked, and its return, which must still wait.</summary>
    private static async Task<Outcome<(Lot Lot, LotReturn Back)>> TakeAsync(Act act, Guid lotId, Guid returnId)
    {
        Lot? lot = await LotLock.TakeAsync(act.Db, lotId, act.Cancellation);
        LotReturn? back = await act.Db.LotReturns.SingleOrDefaultAsync(r => r.Id == returnId, act.Cancellation);
        if (lot is null || back is null)
        {
            return Refusal.NotFound("There is no such return.");
        }

        return back.SettledAt is null ? (lot, back) : Refusal.Conflict("return-settled", "This return was inspected already.");
    }

    private static async Task SettleAsync(Act act, Lot lot, LotReturn back, Place to, MovementReason reason, Guid? approvalId)
    {
        back.SettledAt = act.Now;
        back.SettledById = act.By.Id;
        lot.ChangedAt = act.Now;
        lot.ChangedById = act.By.Id;
        lot.Version++;
        MovementDraft draft = MovementDraft.Create(Place.Bin(back.QuarantineBinId!.Value, true), to, back.Mg, reason);
        act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now, back.InspectionNote, approvalId: approvalId));
        await LotClosing.CloseIfEmptyAsync(act, lot);
    }

    private static Refusal? MayNotPass(Lot lot, Conditions conditions)
    {
        if ((conditions & (Conditions.Insects | Conditions.Mould | Conditions.Damp)) != 0)
        {
            return Refusal.Invalid("conditions", "Yarn with insects, mould or damp can't pass. Throw it away, or dry it and look again.");
        }

        return lot.QuarantineReason is null ? null : Refusal.Conflict("lot-in-quarantine", "The rest of this lot is in quarantine. Release it first.");
    }
}
