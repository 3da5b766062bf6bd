using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Bins;

public sealed record MovedLots(string BinCode, int Moved, int AlreadyThere);

/// <summary>Puts lots into a bin by their codes: all of them or none.</summary>
public sealed class MoveLots(GuildWork work)
{
    public const int MostAtOnce = 200;

    public Task<Outcome<MovedLots>> RunAsync(Guid by, string? binCode, IReadOnlyList<string> lotCodes, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => MoveAsync(act, binCode, lotCodes), cancellation);

    private static async Task<Outcome<MovedLots>> MoveAsync(Act act, string? binCode, IReadOnlyList<string> lotCodes)
    {
        Check check = new();
        check.That(lotCodes.Count is >= 1 and <= MostAtOnce, "lotCodes", "Name 1 to {0} lots; {1} were given.", MostAtOnce, lotCodes.Count);
        List<string> values = [];
        foreach (string typed in lotCodes.Take(MostAtOnce))
        {
            LotCode code = check.Take(LotCode.Parse(typed));
            values.Add(code.Value);
        }

        Bin? target = check.Take(await BinFinder.ByCodeAsync(act, binCode, "binCode"));
        if (check.Failed)
        {
            return check.Refuse<MovedLots>();
        }

        List<Guid> ids = await act.Db.Lots.Where(l => values.Contains(l.Code)).Select(l => l.Id).ToListAsync(act.Cancellation);
        List<Lot> lots = await LotLock.TakeAsync(act.Db, ids, act.Cancellation);
        List<string> distinct = [.. values.Distinct()];
        foreach (string value in distinct)
        {
            if (MayNotLieIn(target!, lots.SingleOrDefault(l => l.Code == value), LotCode.Parse(value).Value.Display) is { } refusal)
            {
                check.Add(refusal);
            }
        }

        if (check.Failed)
        {
            return check.Refuse<MovedLots>();
        }

        IReadOnlyDictionary<Guid, long> here = await LotPlace.InOwnBinMgAsync(act, lots);
        int moved = lots.Count(lot => Move(act, lot, target!, here[lot.Id]));
        await act.Db.SaveChangesAsync(act.Cancellation);
        return new MovedLots(target!.Code, moved, distinct.Count - moved);
    }

    /// <summary>A sentence for this lot, so that whoever scanned ten knows which of them to put aside.</summary>
    private static Refusal? MayNotLieIn(Bin target, Lot? lot, string display) => lot switch
    {
        null => Refusal.Invalid("lotCodes", "There is no lot {0}. Check the label.", display),
        { MergedInto: { } left } => Refusal.Invalid("lotCodes", "Lot {0} went into lot {1}. Scan that one, and print a new label.", display, LotCode.Parse(left.Code).Value.Display),
        { ClosedAt: not null } => Refusal.Invalid("lotCodes", "Lot {0} is closed.", display),
        _ when lot.QuarantineReason is not null == target.IsQuarantine => null,
        _ => new Refusal("quarantine-bin-only", RefusalKind.Conflict, new Phrase(
            target.IsQuarantine
                ? "Lot {0} is free and can't lie in a quarantine bin. Put it in quarantine first, or choose another bin."
                : "Lot {0} is in quarantine and lies in quarantine bins only. Release it after an inspection first.", display), "lotCodes"),
    };

    private static bool Move(Act act, Lot lot, Bin target, long mass)
    {
        if (lot.BinId == target.Id)
        {
            return false;
        }

        if (mass > 0)
        {
            MovementDraft draft = MovementDraft.Create(
                Place.Bin(lot.BinId, lot.Bin.IsQuarantine), Place.Bin(target.Id, target.IsQuarantine), mass, MovementReason.Moved);
            act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now));
        }

        lot.BinId = target.Id;
        lot.ChangedAt = act.Now;
        lot.ChangedById = act.By.Id;
        lot.Version++;
        return true;
    }
}

/// <summary>Puts a free lot into quarantine, for instance when something was seen on it later.</summary>
public sealed class QuarantineLot(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid lotId, string? note, string? binCode, CancellationToken cancellation) =>
        RunAsync(by, lotId, note, binCode, [], cancellation);

    /// <param name="found">Keys of what was seen or smelled; insects, mould and damp are the reason then, and stay noted.</param>
    public Task<Outcome<bool>> RunAsync(Guid by, Guid lotId, string? note, string? binCode, IReadOnlyList<string> found, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Volunteer, async act =>
        {
            Check check = new();
            string why = check.Needed(note, "note", 1000);
            Conditions seen = check.Take(ConditionRules.FromKeys(found));
            Bin? bin = check.Take(await BinFinder.QuarantineAsync(act, binCode, "binCode"));
            Lot? lot = await LotLock.TakeAsync(act.Db, lotId, act.Cancellation);
            if (check.Failed)
            {
                return check.Refuse<bool>();
            }

            if (lot is null || lot.ClosedAt is not null)
            {
                return Refusal.NotFound("There is no such lot in the room.");
            }

            if (lot.QuarantineReason is not null || lot.HeldMg > 0)
            {
                return Refusal.Conflict("lot-in-use", lot.HeldMg > 0
                    ? "{0} of this lot are promised to members. Cancel the holds first, so that they hear of it."
                    : "This lot is in quarantine already.", Mass.FromMilligrams(lot.HeldMg));
            }

            long mass = lot.OnHandMg - lot.QuarantinedMg;
            if (mass > 0)
            {
                MovementDraft draft = MovementDraft.Create(Place.Bin(lot.BinId, false), Place.Bin(bin!.Id, true), mass, MovementReason.PutInQuarantine);
                act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now, why));
            }

            lot.BinId = bin!.Id;
            lot.QuarantineReason = ConditionRules.BagQuarantine(QuarantinePolicy.EveryBag, seen);
            lot.QuarantinedAt = act.Now;
            lot.Conditions = ConditionRules.Together(lot.Conditions, seen);
            lot.ChangedAt = act.Now;
            lot.ChangedById = act.By.Id;
            lot.Version++;
            return true;
        }, cancellation);
}
