using GuildStash.Data.Approvals;
using GuildStash.Data.Counting;
using GuildStash.Data.Intake;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Counting;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Sorting;

/// <param name="Lot">The lot as it is now.</param>
/// <param name="ApprovalId">The request that waits for a second person; null where the weight is booked.</param>
public sealed record WeighedLot(LotView Lot, Guid? ApprovalId);

/// <summary>
/// Books a first or a new weighing of what lies in the lot's bin: the difference comes from the bag or goes to adjustment. A new weight that
/// is further from the books than a ball's worth waits for a second person.
/// </summary>
public sealed class WeighLot(GuildWork work)
{
    public Task<Outcome<WeighedLot>> RunAsync(Guid by, Guid lotId, decimal? grams, decimal? scaleDivisionGrams, CancellationToken cancellation) =>
        RunAsync(by, lotId, grams, scaleDivisionGrams, null, cancellation);

    /// <param name="scaleId">The scale of the register that it was weighed on; null where that is not known.</param>
    public Task<Outcome<WeighedLot>> RunAsync(Guid by, Guid lotId, decimal? grams, decimal? scaleDivisionGrams, Guid? scaleId, CancellationToken cancellation) =>
        RunAsync(by, lotId, grams, scaleDivisionGrams, scaleId, null, cancellation);

    /// <param name="scaleId">The scale of the register that it was weighed on; null where that is not known.</param>
    /// <param name="wholeBalls">Balls that still have their band on; null: as many as were counted, if the weight fits them.</param>
    public Task<Outcome<WeighedLot>> RunAsync(Guid by, Guid lotId, decimal? grams, decimal? scaleDivisionGrams, Guid? scaleId, int? wholeBalls, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => WeighAsync(act, lotId, grams, scaleDivisionGrams, scaleId, wholeBalls), cancellation);

    private static async Task<Outcome<WeighedLot>> WeighAsync(Act act, Guid lotId, decimal? grams, decimal? division, Guid? scaleId, int? wholeBalls)
    {
        Check check = new();
        Scale? scale = await ScaleFinder.TakeAsync(act, scaleId, check);
        Mass mass = grams is { } given ? check.Take(MassLimits.LotMass(given)) : default;
        check.That(grams is not null, "grams", "Enter the grams that the scale shows.");
        check.That(division is null or (> 0 and <= LotFields.LargestScaleDivisionGrams), "scaleDivisionGrams",
            "A scale division of {0} g can't be used; allowed is more than 0 and at most {1} g.", division ?? 0, LotFields.LargestScaleDivisionGrams);
        if (check.Failed)
        {
            return check.Refuse<WeighedLot>();
        }

        Guid bagId = await act.Db.Lots.Where(l => l.Id == lotId).Select(l => l.BagId).SingleOrDefaultAsync(act.Cancellation);
        if (bagId == Guid.Empty)
        {
            return Refusal.NotFound("There is no such lot.");
        }

        Bag bag = (await BagLock.TakeAsync(act.Db, bagId, act.Cancellation))!;
        IReadOnlyCollection<Guid> kin = await LeftAlone.LockKinAsync(act, lotId);
        Lot lot = (await LotLock.TakeAsync(act.Db, lotId, act.Cancellation))!;
        if (lot.ClosedAt is not null)
        {
            return Refusal.Conflict("lot-closed", "This lot is closed.");
        }

        long book = await LotPlace.InOwnBinMgAsync(act, lot);
        WeighingRequest weight = new(lot.Code, book, mass.Milligrams, division is { } d ? Mass.FromGrams(d).Milligrams : null, scale?.Id);
        if (MayWeigh(lot, weight.ShownMg) is { } refusal)
        {
            return refusal;
        }

        Outcome<SealedCount> balls = SealedInLot.Weighed(lot, wholeBalls, book, weight.ShownMg);
        if (!balls.IsOk)
        {
            return Outcome<WeighedLot>.Refused(balls.Refusals);
        }

        weight = weight with { WholeBalls = balls.Value.Balls };

        if (lot.MassKnown && WriteOffRules.WeightNeedsSecondPerson(weight.DifferenceMg, await LeftAlone.MgAsync(act, kin)))
        {
            ApprovalSubject subject = new(LotCode.Parse(lot.Code).Value.Display, Math.Abs(weight.DifferenceMg), [lot.Id]);
            long? upTo = await act.Db.Movements.Where(m => m.LotId == lot.Id).MaxAsync(m => (long?)m.Sequence, act.Cancellation);
            Outcome<Approval> asked = await AskSecondPerson.ForAsync(act, ApprovalKind.Weighing, weight with { UpTo = upTo }, subject);
            return asked.IsOk ? new WeighedLot((await LotViews.ByIdAsync(act, lot.Id))!, asked.Value.Id) : Outcome<WeighedLot>.Refused(asked.Refusals);
        }

        Place rest = bag.ClosedAt is null && !lot.MassKnown ? Place.Bag(lot.BagId) : Place.Adjustment;
        await BookAsync(act, lot, weight, scale, rest, null);
        return new WeighedLot((await LotViews.ByIdAsync(act, lot.Id))!, null);
    }

    /// <summary>A lot can't be weighed below what is promised without saying so.</summary>
    internal static Refusal? MayWeigh(Lot lot, long mg) => lot.HeldMg > mg
        ? Refusal.Conflict("held-more", "{0} of this lot are promised to members, more than the scale shows. Cancel or shorten a hold first.", Mass.FromMilligrams(lot.HeldMg))
        : null;

    /// <summary>Books the difference, and what the lot keeps of scale and length.</summary>
    /// <param name="rest">Where more than the books have comes from.</param>
    internal static async Task BookAsync(Act act, Lot lot, WeighingRequest weight, Scale? scale, Place rest, Guid? approvalId)
    {
        if (weight.DifferenceMg != 0)
        {
            Place bin = Place.Bin(lot.BinId, lot.Bin.IsQuarantine);
            MovementReason reason = rest.Kind == PlaceKind.Bag ? MovementReason.Sorted : MovementReason.WeighingDifference;
            MovementDraft draft = weight.DifferenceMg < 0
                ? MovementDraft.Create(bin, Place.Adjustment, -weight.DifferenceMg, MovementReason.WeighingDifference)
                : MovementDraft.Create(rest, bin, weight.DifferenceMg, reason);
            act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now, approvalId: approvalId));
            await act.Db.SaveChangesAsync(act.Cancellation);
        }

        Outcome<SealedCount> balls = SealedInLot.Weighed(lot, weight.WholeBalls, weight.BookMg, weight.ShownMg);
        SealedCount found = balls.IsOk ? balls.Value : default;
        SealedInLot.Note(lot, found);
        lot.MassKnown = true;

        // What its bands say has no error of a scale, however often it is weighed.
        lot.ScaleDivisionMg = found is { Balls: > 0, LooseMg: 0 } ? null : weight.ScaleDivisionMg ?? lot.ScaleDivisionMg;
        WeighedOn.Mark(lot, scale);
        lot.ChangedAt = act.Now;
        lot.ChangedById = act.By.Id;
        lot.Version++;
        LotFields.Compute(lot, act.Yardage);
        await act.Db.SaveChangesAsync(act.Cancellation);
    }
}
