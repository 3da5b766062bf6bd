using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.HandOver;

/// <param name="Passed">True: back to the lot's bin. False: thrown away.</param>
/// <param name="Conditions">What was found now; smells of yarn that passed stay noted on the lot. Null: what was noted when it came back.</param>
public sealed record ReturnInspection(bool Passed, string? Note, IReadOnlyList<string>? Conditions = null);

/// <summary>Settles leftovers that wait in quarantine: free again, or thrown away.</summary>
public sealed class InspectReturn(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid returnId, ReturnInspection inspection, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => InspectAsync(act, returnId, inspection), cancellation);

    private static async Task<Outcome<bool>> InspectAsync(Act act, Guid returnId, ReturnInspection inspection)
    {
        Check check = new();
        string note = inspection.Passed ? check.Text(inspection.Note, "note", 1000) : check.Needed(inspection.Note, "note", 1000);
        Conditions? found = inspection.Conditions is null ? null : check.Take(ConditionRules.FromKeys(inspection.Conditions));
        if (check.Failed)
        {
            return check.Refuse<bool>();
        }

        Guid lotId = await act.Db.LotReturns.Where(r => r.Id == returnId).Select(r => r.LotId).SingleOrDefaultAsync(act.Cancellation);
        Lot? lot = await LotLock.TakeAsync(act.Db, lotId, act.Cancellation);
        LotReturn? back = await act.Db.LotReturns.SingleOrDefaultAsync(r => r.Id == returnId, act.Cancellation);
        if (lot is null || back is null)
        {
            return Refusal.NotFound("There is no such return.");
        }

        if (back.SettledAt is not null)
        {
            return Refusal.Conflict("return-settled", "This return was inspected already.");
        }

        // A look later corrects what was noticed at first, except for what stays noted for good.
        back.Conditions = ConditionRules.Together(found ?? back.Conditions ?? Conditions.None, (back.Conditions ?? Conditions.None) & ConditionRules.ForGood);
        back.InspectionNote = note;
        if (!inspection.Passed)
        {
            await SettleAsync(act, lot, back, Place.Waste, MovementReason.Discarded);
            return true;
        }

        if (MayNotPass(lot, back.Conditions.Value) is { } refusal)
        {
            return refusal;
        }

        Outcome<Bin> shelf = await ReturnShelf.FindAsync(act, lot);
        if (!shelf.IsOk)
        {
            return Outcome<bool>.Refused(shelf.Refusals);
        }

        lot.Conditions |= back.Conditions.Value;
        await SettleAsync(act, lot, back, Place.Bin(shelf.Value.Id, false), MovementReason.Released);
        return true;
    }

    private static async Task SettleAsync(Act act, Lot lot, LotReturn back, Place to, MovementReason reason)
    {
        back.SettledAt = act.Now;
        back.SettledById = act.By.Id;
        lot.ChangedAt = act.Now;
        lot.ChangedById = act.By.Id;
        lot.Version++;
        MovementDraft draft = MovementDraft.Create(Place.Bin(back.QuarantineBinId!.Value, true), to, back.Mg, reason);
        act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now, back.InspectionNote));
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
