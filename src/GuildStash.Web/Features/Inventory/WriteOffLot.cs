using GuildStash.Data.Approvals;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Inventory;

/// <param name="Grams">What is gone; null: all that lies in the lot's bin.</param>
/// <param name="Reason">Needed: it stands in the lot's story.</param>
public sealed record WriteOffInput(decimal? Grams, WriteOffTo To, string? Reason);

/// <param name="ApprovalId">The request that waits for a second person; null where it is booked.</param>
public sealed record WroteOff(long Mg, Guid? ApprovalId);

/// <summary>Takes yarn that is spoilt or gone out of the books: a ball's worth at once, more with a second person.</summary>
public sealed class WriteOffLot(GuildWork work)
{
    public Task<Outcome<WroteOff>> RunAsync(Guid by, Guid lotId, WriteOffInput input, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => WriteOffAsync(act, lotId, input), cancellation);

    private static async Task<Outcome<WroteOff>> WriteOffAsync(Act act, Guid lotId, WriteOffInput input)
    {
        Check check = new();
        string reason = check.Needed(input.Reason, "reason", 500);
        check.That(Enum.IsDefined(input.To), "to", "Say whether it went to waste or is lost.");
        Mass? given = input.Grams is { } grams ? check.Take(MassLimits.LotMass(grams)) : null;
        if (check.Failed)
        {
            return check.Refuse<WroteOff>();
        }

        IReadOnlyCollection<Guid> kin = await LeftAlone.LockKinAsync(act, lotId);
        Outcome<(Lot Lot, long InBin)> found = await TakeAsync(act, lotId);
        if (!found.IsOk)
        {
            return Outcome<WroteOff>.Refused(found.Refusals);
        }

        (Lot lot, long inBin) = found.Value;
        long mg = given?.Milligrams ?? inBin;
        string display = LotCode.Parse(lot.Code).Value.Display;
        if (WriteOffRules.MayLeave(mg, inBin, lot.HeldMg, display) is { } refusal)
        {
            return refusal;
        }

        // Mould and insects leave the room the same day; nobody waits for a second person beside them.
        if (ConditionRules.StaysShut(lot.Conditions) || !WriteOffRules.NeedsSecondPerson(mg, await LeftAlone.MgAsync(act, kin)))
        {
            Outcome<long> booked = await BookAsync(act, lotId, mg, input.To, reason, null);
            return booked.IsOk ? new WroteOff(mg, null) : Outcome<WroteOff>.Refused(booked.Refusals);
        }

        WriteOffRequest request = new(lot.Code, null, mg, inBin, input.To, reason);
        Outcome<Approval> asked = await AskSecondPerson.ForAsync(act, ApprovalKind.WriteOff, request, new ApprovalSubject(display, mg, [lot.Id]));
        return asked.IsOk ? new WroteOff(mg, asked.Value.Id) : Outcome<WroteOff>.Refused(asked.Refusals);
    }

    /// <summary>Books a write-off as far as the rules allow it now.</summary>
    /// <returns>Milligrams left in the lot's bin.</returns>
    internal static async Task<Outcome<long>> BookAsync(Act act, Guid lotId, long mg, WriteOffTo to, string reason, Guid? approvalId)
    {
        Outcome<(Lot Lot, long InBin)> found = await TakeAsync(act, lotId);
        if (!found.IsOk)
        {
            return Outcome<long>.Refused(found.Refusals);
        }

        (Lot lot, long inBin) = found.Value;
        if (WriteOffRules.MayLeave(mg, inBin, lot.HeldMg, LotCode.Parse(lot.Code).Value.Display) is { } refusal)
        {
            return refusal;
        }

        MovementDraft draft = MovementDraft.Create(Place.Bin(lot.BinId, lot.Bin.IsQuarantine), to == WriteOffTo.Lost ? Place.Lost : Place.Waste, mg,
            ConditionRules.StaysShut(lot.Conditions) ? MovementReason.Discarded : MovementReason.WrittenOff);
        act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now, reason, approvalId: approvalId));
        lot.ChangedAt = act.Now;
        lot.ChangedById = act.By.Id;
        lot.Version++;
        await LotClosing.CloseIfEmptyAsync(act, lot);
        return inBin - mg;
    }

    private static async Task<Outcome<(Lot Lot, long InBin)>> TakeAsync(Act act, Guid lotId)
    {
        Lot? lot = await LotLock.TakeAsync(act.Db, lotId, act.Cancellation);
        if (lot is null)
        {
            return Refusal.NotFound("There is no such lot.");
        }

        string display = LotCode.Parse(lot.Code).Value.Display;
        if (lot.ClosedAt is not null)
        {
            return Refusal.Conflict("lot-closed", "Lot {0} is closed: nothing of it is left.", display);
        }

        if (!lot.MassKnown)
        {
            return Refusal.Conflict("mass-unknown", "Lot {0} was not weighed yet, so the books have no grams of it to write off. Weigh it first.", display);
        }

        long inBin = await LotPlace.InOwnBinMgAsync(act, lot);
        return inBin > 0 ? (lot, inBin) : Refusal.Conflict("not-enough-in-bin", "Nothing of lot {0} lies in its bin.", display);
    }
}
