using GuildStash.Data.Counting;
using GuildStash.Data.Guild;
using GuildStash.Data.Ledger;
using GuildStash.Data.People;
using GuildStash.Data.Projects;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Counting;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.HandOver;

/// <summary>
/// Yarn given into a member's hands against weight: either what a hold promised, or straight from a lot for whoever stands at the table.
/// </summary>
/// <param name="Grams">What the scale shows; may differ from the hold, up to what is free besides it. Null: as the hold promised.</param>
/// <param name="WholeLot">
/// True: the lot leaves as a whole, and what scale and books are apart is booked as the weighing difference. False: a part leaves.
/// Null: the whole where all of it was promised, or where the scale shows a little more than the books have; else a part.
/// </param>
public sealed record HandOverInput(
    Guid? HoldId = null, string? LotCode = null, Guid? MemberId = null, string? MemberEmail = null, Guid? ProjectId = null, decimal? Grams = null, bool? WholeLot = null);

/// <param name="OldCode">The code that was asked for, without hyphen, where its lot went into this one; else null.</param>
public sealed record HandedOver(Guid Id, string LotCode, Guid MemberId, long Mg, DateOnly DueOn, bool LotIsEmpty, long DifferenceMg, string? OldCode = null);

/// <summary>Books yarn out to a member, in the lot's lock and one transaction.</summary>
public sealed class HandOverYarn(GuildWork work)
{
    public Task<Outcome<HandedOver>> RunAsync(Guid by, HandOverInput input, CancellationToken cancellation) =>
        RunAsync(by, input, null, cancellation);

    /// <param name="scaleId">The scale of the register that it was weighed on; null where that is not known.</param>
    public Task<Outcome<HandedOver>> RunAsync(Guid by, HandOverInput input, Guid? scaleId, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => HandOverAsync(act, input, scaleId), cancellation);

    private sealed record Taking(Lot Lot, Hold? Hold, Guid MemberId, Guid? ProjectId)
    {
        public Scale? Scale { get; init; }

        public string? OldCode { get; init; }

        /// <summary>Of the scale that it was weighed on.</summary>
        public long? DivisionMg { get; init; }
    }

    /// <summary>The same inside another use case, for instance one that hands a whole kit over.</summary>
    /// <param name="divisionMg">Division of the scale that it was weighed out on before, where no scale is named now.</param>
    internal static async Task<Outcome<HandedOver>> HandOverAsync(Act act, HandOverInput input, Guid? scaleId, long? divisionMg = null)
    {
        if (input.HoldId is null == string.IsNullOrWhiteSpace(input.LotCode))
        {
            return Refusal.Invalid(input.HoldId is null ? "lotCode" : "holdId", "Name either a hold, or a lot and a member.");
        }

        Outcome<Taking> taking = input.HoldId is { } holdId ? await FromHoldAsync(act, holdId) : await FromLotAsync(act, input);
        if (!taking.IsOk)
        {
            return Outcome<HandedOver>.Refused(taking.Refusals);
        }

        (Lot lot, Hold? hold, Guid _, Guid? _) = taking.Value;
        Check onScale = new();
        Scale? scale = await ScaleFinder.TakeAsync(act, input.Grams is null ? null : scaleId, onScale);
        if (onScale.Failed)
        {
            return onScale.Refuse<HandedOver>();
        }

        Outcome<long> weighed = Weighed(input.Grams, hold);
        if (!weighed.IsOk)
        {
            return Outcome<HandedOver>.Refused(weighed.Refusals);
        }

        GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
        if (hold is not null)
        {
            hold.State = HoldState.TakenHome;
            hold.EndedAt = act.Now;
            hold.EndedById = act.By.Id;
            await act.Db.SaveChangesAsync(act.Cancellation);
            await act.Db.Entry(lot).ReloadAsync(act.Cancellation);
        }

        Outcome<long> difference = Difference(lot, weighed.Value, input.WholeLot ?? TakesAll(lot, hold, weighed.Value, guild), guild);
        return difference.IsOk
            ? await BookAsync(act, taking.Value with { Scale = scale, DivisionMg = scale?.DivisionMg ?? divisionMg }, weighed.Value, difference.Value, guild)
            : Outcome<HandedOver>.Refused(difference.Refusals);
    }

    private static Outcome<long> Weighed(decimal? grams, Hold? hold)
    {
        if (grams is null)
        {
            return hold is not null ? hold.Mg : Refusal.Invalid("grams", "Enter the grams that the scale shows.");
        }

        Outcome<Mass> mass = MassLimits.LotMass(grams.Value);
        return mass.IsOk ? mass.Value.Milligrams : Outcome<long>.Refused(mass.Refusals);
    }

    /// <summary>The recipient's rules are asked again: what was learned of the lot since it was promised counts, too.</summary>
    private static async Task<Outcome<Taking>> FromHoldAsync(Act act, Guid holdId)
    {
        Outcome<Hold> found = await HoldFinder.LockedAsync(act, holdId);
        if (!found.IsOk)
        {
            return Outcome<Taking>.Refused(found.Refusals);
        }

        Hold hold = found.Value;
        if (hold.Request.Member.DisabledAt is not null)
        {
            return Refusal.Conflict("member-not-active", "The account of {0} is not active, so nothing can be handed over. Cancel the hold, or ask an administrator.", hold.Request.Member.DisplayName);
        }

        if (await KitSteps.NobodyMakesItAsync(act, hold.RequestId) is { } nobody)
        {
            return nobody;
        }

        return HoldRules.MayGoTo(hold.Lot, hold.Request.Project, null) is { Count: > 0 } barred
            ? Outcome<Taking>.Refused(barred)
            : new Taking(hold.Lot, hold, hold.Request.MemberId, hold.Request.ProjectId);
    }

    private static async Task<Outcome<Taking>> FromLotAsync(Act act, HandOverInput input)
    {
        Check check = new();
        Person? member = await MemberAsync(act, input, check);
        Project? project = input.ProjectId is { } id ? check.Take(await OpenProject.FindAsync(act, id)) : null;
        string? living = await LotSurvivor.CodeAsync(act, input.LotCode);
        Outcome<LotView> view = await LotViews.ByCodeAsync(act, living);
        if (!view.IsOk)
        {
            view.Refusals.ToList().ForEach(r => check.Add(r with { Field = "lotCode" }));
        }

        if (check.Failed)
        {
            return check.Refuse<Taking>();
        }

        Lot lot = (await LotLock.TakeAsync(act.Db, view.Value.Id, act.Cancellation))!;
        IReadOnlyList<Refusal> barred = HoldRules.MayBePromised(lot, project, "lotCode");
        return barred.Count > 0 ? Outcome<Taking>.Refused(barred) : new Taking(lot, null, member!.Id, project?.Id)
        {
            OldCode = living == input.LotCode ? null : LotCode.Parse(input.LotCode).Value.Value,
        };
    }

    private static async Task<Person?> MemberAsync(Act act, HandOverInput input, Check check)
    {
        if (input.MemberId is { } id)
        {
            Person? known = await act.Db.People.AsNoTracking().SingleOrDefaultAsync(p => p.Id == id && p.DisabledAt == null, act.Cancellation);
            check.That(known is not null, "memberId", "There is no such member with an active account.");
            return known;
        }

        string email = (input.MemberEmail ?? "").Trim();
        if (email.Length == 0)
        {
            check.Add(Refusal.Invalid("memberId", "Say who takes the yarn home."));
            return null;
        }

        string normalized = email.ToUpperInvariant();
        Person? found = await act.Db.People.AsNoTracking().SingleOrDefaultAsync(p => p.NormalizedEmail == normalized && p.DisabledAt == null, act.Cancellation);
        check.That(found is not null, "memberEmail", "There is no member {0}. Check the address, or invite them first.", email.Length <= 256 ? email : email[..256] + "…");
        return found;
    }

    /// <summary>The hold was for all of the lot, or the scale shows a little more than the books have: either way the lot leaves as a whole.</summary>
    private static bool TakesAll(Lot lot, Hold? hold, long taken, GuildSettings guild)
    {
        long free = lot.OnHandMg - lot.HeldMg - lot.QuarantinedMg;
        bool close = Math.Abs(taken - free) <= WeighingTolerance.Of(lot, guild, free);
        return close && lot.HeldMg == 0 && (taken > free || hold?.Mg == free);
    }

    /// <summary>What of the lot must be booked besides the hand-over: the scale may show more or less than the books when the whole lot leaves.</summary>
    private static Outcome<long> Difference(Lot lot, long taken, bool whole, GuildSettings guild)
    {
        string code = LotCode.Parse(lot.Code).Value.Display;
        long free = lot.OnHandMg - lot.HeldMg - lot.QuarantinedMg;
        long tolerance = WeighingTolerance.Of(lot, guild, free);
        if (!whole)
        {
            return taken <= free
                ? 0L
                : HoldRules.Conflict("grams", "not-enough-free", "{0} g were weighed, and {1} g of lot {2} are free. Give less, or hand over the whole lot.", taken / 1000m, free / 1000m, code);
        }

        if (lot.HeldMg > 0)
        {
            return HoldRules.Conflict("wholeLot", "held-for-others", "Others hold {0} of lot {1}, so it can't leave as a whole.", Mass.FromMilligrams(lot.HeldMg), code);
        }

        long difference = taken - free;
        return Math.Abs(difference) <= tolerance
            ? difference
            : HoldRules.Conflict("grams", "beyond-weighing-error", "The scale shows {0} and the books have {1} of lot {2}: more apart than weighing explains ({3}). Count the bin first.",
                Mass.FromMilligrams(taken), Mass.FromMilligrams(free), code, Mass.FromMilligrams(tolerance));
    }

    private static async Task<Outcome<HandedOver>> BookAsync(Act act, Taking taking, long taken, long difference, GuildSettings guild)
    {
        Lot lot = taking.Lot;
        Place here = Place.Bin(lot.BinId, lot.Bin.IsQuarantine);
        Checkout checkout = new()
        {
            LotId = lot.Id,
            MemberId = taking.MemberId,
            HoldId = taking.Hold?.Id,
            ProjectId = taking.ProjectId,
            TakenMg = taken,
            DueOn = GuildClock.Today(guild, act.Now).AddDays(guild.LoanDays),
            CreatedAt = act.Now,
            HandedOverById = act.By.Id,
        };
        act.Db.Checkouts.Add(checkout);
        await act.Db.SaveChangesAsync(act.Cancellation);
        if (difference > 0)
        {
            await WriteAsync(act, taking, MovementDraft.Create(Place.Adjustment, here, difference, MovementReason.WeighingDifference), null);
        }

        lot.WeighedForTrade &= taking.Scale is { IsVerified: true };
        await WriteAsync(act, taking, MovementDraft.Create(here, Place.Member(taking.MemberId), taken, MovementReason.HandedOver), checkout.Id);
        if (difference < 0)
        {
            await WriteAsync(act, taking, MovementDraft.Create(here, Place.Adjustment, -difference, MovementReason.WeighingDifference), null);
        }

        await LotClosing.CloseIfEmptyAsync(act, lot);
        await KitSteps.TakenHomeAsync(act, taking.Hold);
        return new HandedOver(checkout.Id, lot.Code, taking.MemberId, taken, checkout.DueOn, lot.OnHandMg == 0, difference, taking.OldCode);
    }

    private static Task<int> WriteAsync(Act act, Taking taking, MovementDraft draft, Guid? checkoutId)
    {
        act.Db.Movements.Add(Movement.OfLot(draft, taking.Lot, act.By.Id, act.Now, checkoutId: checkoutId, scaleDivisionMg: taking.DivisionMg));
        return act.Db.SaveChangesAsync(act.Cancellation);
    }
}
