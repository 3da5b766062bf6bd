using GuildStash.Data;
using GuildStash.Data.Counting;
using GuildStash.Data.Guild;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Counting;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.HandOver;

/// <summary>Leftovers as they come back.</summary>
/// <param name="Conditions">What was noticed; an empty list says that somebody looked and found nothing, null that nobody looked yet.</param>
/// <param name="IsAll">Nothing is left at the member's home: the rest went into the piece.</param>
/// <param name="Said">Of the kit's pieces, where this is the last yarn of a kit.</param>
public sealed record ReturnInput(decimal? Grams, IReadOnlyList<string>? Conditions = null, bool IsAll = false, PiecesSaid? Said = null);

/// <param name="IsFree">Inspected on the spot and free again; otherwise it waits in quarantine.</param>
public sealed record TakenBack(Guid Id, string LotCode, long Mg, bool IsFree, long StillAtHomeMg)
{
    /// <summary>The rest that left the books: the member keeps it.</summary>
    public long KeptMg { get; init; }

    /// <summary>The rest that left the books: it went into the project's pieces.</summary>
    public long UsedUpMg { get; init; }
}

/// <summary>Takes leftovers back against weight. They are free only after they passed inspection.</summary>
public sealed class TakeBack(GuildWork work)
{
    public Task<Outcome<TakenBack>> RunAsync(Guid by, Guid checkoutId, ReturnInput input, CancellationToken cancellation) =>
        RunAsync(by, checkoutId, input, null, cancellation);

    /// <param name="scaleId">The scale of the register that it was weighed on; null where that is not known.</param>
    public Task<Outcome<TakenBack>> RunAsync(Guid by, Guid checkoutId, ReturnInput input, Guid? scaleId, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, async act =>
        {
            Check check = new();
            string why = KitEnding.Read(input.Said, check);
            if (check.Failed)
            {
                return check.Refuse<TakenBack>();
            }

            Outcome<TakenBack> back = await TakeBackAsync(act, checkoutId, input, scaleId, why);
            Checkout? checkout = back.IsOk ? await act.Db.Checkouts.SingleAsync(c => c.Id == checkoutId, act.Cancellation) : null;
            return checkout is not null && await KitEnding.SayAsync(act, checkout, input.Said) is { } unsaid ? unsaid : back;
        }, cancellation);

    /// <summary>The same inside another use case, which asks for the pieces by itself; for instance one that takes a kit's leftovers back.</summary>
    /// <param name="note">Kept with the movements.</param>
    internal static async Task<Outcome<TakenBack>> TakeBackAsync(Act act, Guid checkoutId, ReturnInput input, Guid? scaleId, string note = "")
    {
        Check check = new();
        Scale? scale = await ScaleFinder.TakeAsync(act, scaleId, check);
        Mass mass = input.Grams is { } grams ? check.Take(MassLimits.LotMass(grams)) : default;
        check.That(input.Grams is not null, "grams", "Enter the grams that the scale shows.");
        Conditions? conditions = input.Conditions is null ? null : check.Take(ConditionRules.FromKeys(input.Conditions));
        if (check.Failed)
        {
            return check.Refuse<TakenBack>();
        }

        Outcome<Checkout> found = await CheckoutFinder.LockedAsync(act, checkoutId);
        if (!found.IsOk)
        {
            return Outcome<TakenBack>.Refused(found.Refusals);
        }

        Checkout checkout = found.Value;
        Lot lot = await LotSurvivor.LockedAsync(act, checkout.Lot);
        if (await CheckoutFinder.CoverAsync(act, checkout, mass.Milligrams) is { } refusal)
        {
            return refusal;
        }

        bool free = conditions == Conditions.None && lot.QuarantineReason is null;
        Outcome<Bin> bin = free ? await ReturnShelf.FindAsync(act, lot) : await BinFinder.QuarantineAsync(act, null, "binCode");
        if (!bin.IsOk)
        {
            return Outcome<TakenBack>.Refused(bin.Refusals);
        }

        LotReturn back = new()
        {
            CheckoutId = checkout.Id,
            LotId = lot.Id,
            Mg = mass.Milligrams,
            Conditions = conditions,
            QuarantineBinId = free ? null : bin.Value.Id,
            CreatedAt = act.Now,
            ReceivedById = act.By.Id,
            SettledAt = free ? act.Now : null,
            SettledById = free ? act.By.Id : null,
        };
        await BookAsync(act, checkout, lot, back, bin.Value, scale, note);
        long rest = 0;
        if (input.IsAll)
        {
            rest = await CheckoutFinder.UseUpAsync(act, checkout, note);
        }
        else if (checkout.AtHomeMg == 0)
        {
            checkout.ClosedAt = act.Now;
            checkout.Version++;
        }

        await act.Db.SaveChangesAsync(act.Cancellation);
        await KitSteps.SettleAsync(act, checkout);
        return new TakenBack(back.Id, lot.Code, back.Mg, free, checkout.ClosedAt is null ? checkout.AtHomeMg : 0)
        {
            KeptMg = checkout.ProjectId is null ? rest : 0,
            UsedUpMg = checkout.ProjectId is null ? 0 : rest,
        };
    }

    /// <summary>Opens the lot again before the grams come in: a closed lot may have none.</summary>
    /// <param name="lot">The checkout's lot, or the one into which it was merged meanwhile.</param>
    private static async Task BookAsync(Act act, Checkout checkout, Lot lot, LotReturn back, Bin bin, Scale? scale, string note)
    {
        lot.ClosedAt = null;
        lot.WeighedForTrade &= scale is { IsVerified: true };
        lot.ChangedAt = act.Now;
        lot.ChangedById = act.By.Id;
        lot.Version++;
        await act.Db.SaveChangesAsync(act.Cancellation);
        MovementDraft draft = MovementDraft.Create(Place.Member(checkout.MemberId), Place.Bin(bin.Id, bin.IsQuarantine), back.Mg, MovementReason.Returned);
        act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now, note, checkoutId: checkout.Id, scaleDivisionMg: scale?.DivisionMg));
        act.Db.LotReturns.Add(back);
        await act.Db.SaveChangesAsync(act.Cancellation);
        await act.Db.Entry(checkout).ReloadAsync(act.Cancellation);
    }
}

/// <summary>The member has nothing left of a checkout: it went into the piece, or stays with the member.</summary>
public sealed class FinishCheckout(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid checkoutId, CancellationToken cancellation) =>
        RunAsync(by, checkoutId, null, cancellation);

    /// <param name="said">Of the kit's pieces, where this is the last yarn of a kit.</param>
    public Task<Outcome<bool>> RunAsync(Guid by, Guid checkoutId, PiecesSaid? said, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Member, async act =>
        {
            Check check = new();
            string why = KitEnding.Read(said, check);
            if (check.Failed)
            {
                return check.Refuse<bool>();
            }

            Outcome<Checkout> found = await CheckoutFinder.LockedAsync(act, checkoutId);
            if (!found.IsOk)
            {
                return found.Refusal;
            }

            await CheckoutFinder.UseUpAsync(act, found.Value, why);
            await KitSteps.SettleAsync(act, found.Value);
            return await KitEnding.SayAsync(act, found.Value, said) is { } unsaid ? unsaid : true;
        }, cancellation);
}

/// <summary>Gives a member more time.</summary>
public sealed class ExtendCheckout(GuildWork work)
{
    public const int MostDays = 730;

    public Task<Outcome<DateOnly>> RunAsync(Guid by, Guid checkoutId, DateOnly dueOn, CancellationToken cancellation) =>
        work.WriteAsync<DateOnly>(by, Role.Member, async act =>
        {
            GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
            DateOnly today = GuildClock.Today(guild, act.Now);
            if (dueOn <= today || dueOn > today.AddDays(MostDays))
            {
                return Refusal.Invalid("dueOn", "{0} can't be the new date; allowed is from tomorrow to {1} days ahead.", dueOn, MostDays);
            }

            Outcome<Checkout> found = await CheckoutFinder.LockedAsync(act, checkoutId);
            if (!found.IsOk)
            {
                return found.Refusal;
            }

            found.Value.DueOn = dueOn;
            found.Value.Version++;
            return dueOn;
        }, cancellation);
}

internal static class CheckoutFinder
{
    /// <summary>An open checkout inside its lot's lock. Another member's is "not found": members don't learn of each other's.</summary>
    public static async Task<Outcome<Checkout>> LockedAsync(Act act, Guid checkoutId)
    {
        var known = await act.Db.Checkouts.AsNoTracking().Where(c => c.Id == checkoutId).Select(c => new { c.LotId, c.MemberId }).SingleOrDefaultAsync(act.Cancellation);
        if (known is null || (known.MemberId != act.By.Id && act.By.Role < Role.Volunteer))
        {
            return Refusal.NotFound("There is no such checkout among yours.");
        }

        await LotLock.TakeAsync(act.Db, known.LotId, act.Cancellation);
        Checkout checkout = await act.Db.Checkouts.Include(c => c.Lot).ThenInclude(l => l.Bin).SingleAsync(c => c.Id == checkoutId, act.Cancellation);
        return checkout.ClosedAt is null ? checkout : Refusal.Conflict("checkout-closed", "Nothing of this yarn is at the member's home any more.");
    }

    /// <summary>A return may weigh a little more than was taken: the excess within weighing error is booked, beyond it is refused.</summary>
    public static async Task<Refusal?> CoverAsync(Act act, Checkout checkout, long mg)
    {
        long excess = mg - checkout.AtHomeMg;
        if (excess <= 0)
        {
            return null;
        }

        GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
        if (excess > WeighingTolerance.Of(checkout.Lot, guild, checkout.AtHomeMg))
        {
            return HoldRules.Conflict("grams", "more-than-taken", "The scale shows {0} g, but only {1} g of this yarn are at the member's home. Check the weight, or log the rest as a gift.", mg / 1000m, checkout.AtHomeMg / 1000m);
        }

        MovementDraft draft = MovementDraft.Create(Place.Adjustment, Place.Member(checkout.MemberId), excess, MovementReason.WeighingDifference);
        act.Db.Movements.Add(Movement.OfLot(draft, checkout.Lot, act.By.Id, act.Now, checkoutId: checkout.Id));
        await act.Db.SaveChangesAsync(act.Cancellation);
        return null;
    }

    /// <summary>With a project the rest went into its pieces; without one it stays the member's.</summary>
    /// <param name="note">Kept with the movement.</param>
    /// <returns>How much that was, milligrams.</returns>
    public static async Task<long> UseUpAsync(Act act, Checkout checkout, string note = "")
    {
        long rest = checkout.AtHomeMg;
        if (checkout.AtHomeMg > 0)
        {
            MovementDraft draft = checkout.ProjectId is { } project
                ? MovementDraft.Create(Place.Member(checkout.MemberId), Place.Project(project), checkout.AtHomeMg, MovementReason.UsedUp)
                : MovementDraft.Create(Place.Member(checkout.MemberId), Place.PassedOn, checkout.AtHomeMg, MovementReason.Kept);
            act.Db.Movements.Add(Movement.OfLot(draft, checkout.Lot, act.By.Id, act.Now, note, checkoutId: checkout.Id));
            await act.Db.SaveChangesAsync(act.Cancellation);
        }

        checkout.ClosedAt = act.Now;
        checkout.Version++;
        await act.Db.SaveChangesAsync(act.Cancellation);
        return rest;
    }
}
