using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Sorting;

/// <summary>Corrects what is known about a lot; its grams change only through the ledger (<see cref="WeighLot"/>), its bin through a move.</summary>
public sealed class EditLot(GuildWork work)
{
    /// <param name="version">The version the person saw; a newer one in the database refuses the change.</param>
    public Task<Outcome<LotView>> RunAsync(Guid by, Guid lotId, int version, LotInput input, CancellationToken cancellation) =>
        RunAsync(by, lotId, version, input, null, cancellation);

    /// <param name="version">The version the person saw; a newer one in the database refuses the change.</param>
    /// <param name="draftOf">The form whose draft this submits.</param>
    public Task<Outcome<LotView>> RunAsync(Guid by, Guid lotId, int version, LotInput input, string? draftOf, CancellationToken cancellation) =>
        work.WriteAsync<LotView>(by, Role.Volunteer, async act =>
        {
            Lot? lot = await LotLock.TakeAsync(act.Db, lotId, act.Cancellation);
            if (lot is null)
            {
                return Refusal.NotFound("There is no such lot.");
            }

            if (lot.Version != version)
            {
                return Refusal.Conflict("changed-meanwhile", "Somebody else changed this lot meanwhile. Reload to see the present state, then enter your change again.");
            }

            Check check = new();
            check.That(lot.SealedBalls is null || input.Band is not null, "band", "{0} balls of this lot count by their band, which can't be left out. Weigh the lot first.", lot.SealedBalls ?? 0);
            LotFields.Apply(lot, input, act.Yardage, check);
            if (check.Failed)
            {
                return check.Refuse<LotView>();
            }

            lot.ChangedAt = act.Now;
            lot.ChangedById = act.By.Id;
            lot.Version++;
            await act.Db.SaveChangesAsync(act.Cancellation);
            await Drafts.SubmittedDraft.ForgetAsync(act, draftOf);
            return (await LotViews.ByIdAsync(act, lot.Id))!;
        }, cancellation);
}

/// <summary>Books a first or a new weighing of what lies in the lot's bin: the difference comes from the bag or goes to adjustment.</summary>
public sealed class WeighLot(GuildWork work)
{
    public Task<Outcome<LotView>> RunAsync(Guid by, Guid lotId, decimal? grams, decimal? scaleDivisionGrams, CancellationToken cancellation) =>
        RunAsync(by, lotId, grams, scaleDivisionGrams, null, cancellation);

    /// <param name="scaleId">The scale of the register that it was weighed on; null where that is not known.</param>
    public Task<Outcome<LotView>> RunAsync(Guid by, Guid lotId, decimal? grams, decimal? scaleDivisionGrams, Guid? scaleId, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => WeighAsync(act, lotId, grams, scaleDivisionGrams, scaleId), cancellation);

    private static async Task<Outcome<LotView>> WeighAsync(Act act, Guid lotId, decimal? grams, decimal? division, Guid? scaleId)
    {
        Check check = new();
        Data.Counting.Scale? scale = await Counting.ScaleFinder.TakeAsync(act, scaleId, check);
        Mass mass = grams is { } given ? check.Take(MassLimits.LotMass(given)) : default;
        check.That(grams is not null, "grams", "Enter the grams that the scale shows.");
        check.That(division is null or (> 0 and <= LotFields.LargestScaleDivisionGrams), "scaleDivisionGrams",
            "A scale division of {0} g can't be used; allowed is more than 0 and at most {1} g.", division ?? 0, LotFields.LargestScaleDivisionGrams);
        if (check.Failed)
        {
            return check.Refuse<LotView>();
        }

        Guid bagId = await act.Db.Lots.Where(l => l.Id == lotId).Select(l => l.BagId).SingleOrDefaultAsync(act.Cancellation);
        if (bagId == Guid.Empty)
        {
            return Refusal.NotFound("There is no such lot.");
        }

        Data.Intake.Bag bag = (await Intake.BagLock.TakeAsync(act.Db, bagId, act.Cancellation))!;
        Lot lot = (await LotLock.TakeAsync(act.Db, lotId, act.Cancellation))!;
        if (lot.ClosedAt is not null)
        {
            return Refusal.Conflict("lot-closed", "This lot is closed.");
        }

        Refusal? refusal = await BookAsync(act, lot, mass.Milligrams, bag.ClosedAt is null && !lot.MassKnown);
        if (refusal is not null)
        {
            return refusal;
        }

        lot.MassKnown = true;
        lot.SealedBalls = null;
        lot.ScaleDivisionMg = division is { } d ? Mass.FromGrams(d).Milligrams : lot.ScaleDivisionMg;
        Counting.WeighedOn.Mark(lot, scale);
        lot.ChangedAt = act.Now;
        lot.ChangedById = act.By.Id;
        lot.Version++;
        LotFields.Compute(lot, act.Yardage);
        await act.Db.SaveChangesAsync(act.Cancellation);
        return (await LotViews.ByIdAsync(act, lot.Id))!;
    }

    private static async Task<Refusal?> BookAsync(Act act, Lot lot, long shown, bool firstWeighing)
    {
        long difference = shown - await LotPlace.InOwnBinMgAsync(act, lot);
        if (difference == 0)
        {
            return null;
        }

        Place bin = Place.Bin(lot.BinId, lot.Bin.IsQuarantine);
        if (difference < 0 && lot.HeldMg > shown)
        {
            return Refusal.Conflict("held-more", "{0} g of this lot are promised to members, more than the scale shows. Cancel or shorten a hold first.", lot.HeldMg / 1000m);
        }

        MovementDraft draft = difference < 0
            ? MovementDraft.Create(bin, Place.Adjustment, -difference, MovementReason.WeighingDifference)
            : MovementDraft.Create(firstWeighing ? Place.Bag(lot.BagId) : Place.Adjustment, bin, difference, firstWeighing ? MovementReason.Sorted : MovementReason.WeighingDifference);
        act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now));
        await act.Db.SaveChangesAsync(act.Cancellation);
        return null;
    }
}

/// <summary>Takes a lot that was entered by mistake back into its bag: a counter-movement, and the code is closed for good.</summary>
public sealed class UndoLot(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid lotId, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => UndoAsync(act, lotId), cancellation);

    private static async Task<Outcome<bool>> UndoAsync(Act act, Guid lotId)
    {
        Guid bagId = await act.Db.Lots.Where(l => l.Id == lotId).Select(l => l.BagId).SingleOrDefaultAsync(act.Cancellation);
        if (bagId == Guid.Empty)
        {
            return Refusal.NotFound("There is no such lot.");
        }

        Data.Intake.Bag bag = (await Intake.BagLock.TakeAsync(act.Db, bagId, act.Cancellation))!;
        Lot lot = (await LotLock.TakeAsync(act.Db, lotId, act.Cancellation))!;
        List<Movement> movements = await act.Db.Movements.Where(m => m.LotId == lotId).ToListAsync(act.Cancellation);
        if (bag.ClosedAt is not null || lot.ClosedAt is not null || lot.HeldMg > 0 || movements.Count > 1
            || await act.Db.Checkouts.AnyAsync(c => c.LotId == lotId, act.Cancellation))
        {
            return Refusal.Conflict("lot-in-use", "This lot can't be taken back into its bag: it was moved, reserved or handed out, or its bag is closed. Correct it instead.");
        }

        if (movements is [{ FromKind: PlaceKind.Relotted }])
        {
            return Refusal.Conflict("lot-was-split", "This lot came out of another one by a split. Undo the split on its page instead.");
        }

        if (movements is [{ } sorted])
        {
            MovementDraft draft = MovementDraft.Create(Place.Bin(lot.BinId, lot.Bin.IsQuarantine), Place.Bag(bagId), sorted.Mg, MovementReason.EnteredByMistake);
            act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now, correctsId: sorted.Id));
            await act.Db.SaveChangesAsync(act.Cancellation);
        }

        lot.ClosedAt = act.Now;
        lot.ChangedAt = act.Now;
        lot.ChangedById = act.By.Id;
        lot.Version++;
        return true;
    }
}
