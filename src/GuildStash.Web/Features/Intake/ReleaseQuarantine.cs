using GuildStash.Data.Intake;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Intake;

/// <summary>What an inspection found.</summary>
/// <param name="BagId">The bag; its lots go with it.</param>
/// <param name="LotId">Or a single lot that is kept apart for its fibre.</param>
/// <param name="BinCode">Open bin for the lots; the sorting table when empty.</param>
/// <param name="Note">What was looked at and found; needed, since days alone never release anything.</param>
public sealed record InspectionInput(Guid? BagId, Guid? LotId, string? BinCode, string? Note);

public sealed record Released(int Lots, long Mg, string BinCode);

/// <summary>Releases a bag or a lot from quarantine after an inspection that is on record.</summary>
public sealed class ReleaseQuarantine(GuildWork work)
{
    public Task<Outcome<Released>> RunAsync(Guid by, InspectionInput input, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => ReleaseAsync(act, input), cancellation);

    private static async Task<Outcome<Released>> ReleaseAsync(Act act, InspectionInput input)
    {
        Check check = new();
        string note = check.Needed(input.Note, "note", 1000);
        check.That(input.BagId is null != input.LotId is null, "bagId", "Name either a bag or a lot.");
        Bin? target = check.Take(await BinFinder.OpenShelfAsync(act, input.BinCode, "binCode"));
        if (check.Failed)
        {
            return check.Refuse<Released>();
        }

        if (input.BagId is { } bagId && await InspectBagAsync(act, bagId, note) is { } refusal)
        {
            return refusal;
        }

        List<Guid> ids = await act.Db.Lots
            .Where(l => (l.BagId == input.BagId || l.Id == input.LotId) && l.QuarantineReason != null && l.ClosedAt == null)
            .Select(l => l.Id).ToListAsync(act.Cancellation);
        if (input.LotId is not null && ids.Count == 0)
        {
            return Refusal.Conflict("not-in-quarantine", "This lot is not in quarantine.");
        }

        long moved = 0;
        foreach (Lot lot in await LotLock.TakeAsync(act.Db, ids, act.Cancellation))
        {
            moved += await ReleaseLotAsync(act, lot, target!, note);
        }

        return new Released(ids.Count, moved, target!.Code);
    }

    private static async Task<Refusal?> InspectBagAsync(Act act, Guid bagId, string note)
    {
        Bag? bag = await BagLock.TakeAsync(act.Db, bagId, act.Cancellation);
        if (bag is null)
        {
            return Refusal.NotFound("There is no such bag.");
        }

        string number = $"{bag.Donation.Number}/{bag.Ordinal}";
        if (bag.QuarantineReason is null)
        {
            return Refusal.Conflict("not-in-quarantine", "Bag {0} is not in quarantine.", number);
        }

        if (ConditionRules.StaysShut(bag.Conditions))
        {
            return Refusal.Conflict("bag-stays-shut", "Bag {0} can't be released: mould or insects were noted on it. Discard it.", number);
        }

        bag.QuarantineReason = null;
        bag.InspectedAt = act.Now;
        bag.InspectedById = act.By.Id;
        bag.InspectionNote = note;
        bag.Version++;
        await act.Db.SaveChangesAsync(act.Cancellation);
        return null;
    }

    private static async Task<long> ReleaseLotAsync(Act act, Lot lot, Bin target, string note)
    {
        long mass = await LotPlace.InOwnBinMgAsync(act, lot);
        if (mass > 0)
        {
            MovementDraft draft = MovementDraft.Create(Place.Bin(lot.BinId, true), Place.Bin(target.Id, false), mass, MovementReason.Released);
            act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now, note));
        }

        lot.BinId = target.Id;
        lot.QuarantineReason = null;
        lot.ChangedAt = act.Now;
        lot.ChangedById = act.By.Id;
        lot.Version++;
        await act.Db.SaveChangesAsync(act.Cancellation);
        return mass;
    }
}
