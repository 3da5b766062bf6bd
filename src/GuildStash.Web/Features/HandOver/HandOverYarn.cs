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
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.HandOver;

/// <summary>
/// Yarn given into a member's hands against weight: either what a hold promised, or straight from a lot for whoever stands at the table.
/// </summary>
/// <param name="Grams">What the scale shows; may differ from the hold, up to what is free besides it.</param>
/// <param name="WholeLot">The lot leaves as a whole: its rest is the weighing difference and is booked as such.</param>
public sealed record HandOverInput(
    Guid? HoldId = null, string? LotCode = null, Guid? MemberId = null, string? MemberEmail = null, Guid? ProjectId = null, decimal? Grams = null, bool WholeLot = false);

public sealed record HandedOver(Guid Id, string LotCode, Guid MemberId, long Mg, DateOnly DueOn, bool LotIsEmpty, long DifferenceMg);

/// <summary>Books yarn out to a member, in the lot's lock and one transaction.</summary>
public sealed class HandOverYarn(GuildWork work)
{
    public Task<Outcome<HandedOver>> RunAsync(Guid by, HandOverInput input, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => HandOverAsync(act, input), cancellation);

    private sealed record Taking(Lot Lot, Hold? Hold, Guid MemberId, Guid? ProjectId);

    private static async Task<Outcome<HandedOver>> HandOverAsync(Act act, HandOverInput input)
    {
        if (input.HoldId is null == string.IsNullOrWhiteSpace(input.LotCode))
        {
            return Refusal.Invalid("holdId", "Name either a hold, or a lot and a member.");
        }

        Outcome<Taking> taking = input.HoldId is { } holdId ? await FromHoldAsync(act, holdId) : await FromLotAsync(act, input);
        if (!taking.IsOk)
        {
            return Outcome<HandedOver>.Refused(taking.Refusals);
        }

        (Lot lot, Hold? hold, Guid _, Guid? _) = taking.Value;
        GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
        decimal asked = input.Grams ?? (hold?.Mg ?? 0) / 1000m;
        Outcome<Mass> mass = MassLimits.LotMass(asked);
        if (!mass.IsOk)
        {
            return Outcome<HandedOver>.Refused(mass.Refusals);
        }

        if (hold is not null)
        {
            hold.State = HoldState.TakenHome;
            hold.EndedAt = act.Now;
            hold.EndedById = act.By.Id;
            await act.Db.SaveChangesAsync(act.Cancellation);
            await act.Db.Entry(lot).ReloadAsync(act.Cancellation);
        }

        Outcome<long> difference = Difference(lot, mass.Value.Milligrams, input.WholeLot || TakesAll(lot, hold, mass.Value.Milligrams, guild), guild);
        if (!difference.IsOk)
        {
            return Outcome<HandedOver>.Refused(difference.Refusals);
        }

        return await BookAsync(act, taking.Value, mass.Value.Milligrams, difference.Value, guild);
    }

    private static async Task<Outcome<Taking>> FromHoldAsync(Act act, Guid holdId)
    {
        Outcome<Hold> hold = await HoldFinder.LockedAsync(act, holdId);
        return hold.IsOk
            ? new Taking(hold.Value.Lot, hold.Value, hold.Value.Request.MemberId, hold.Value.Request.ProjectId)
            : Outcome<Taking>.Refused(hold.Refusals);
    }

    private static async Task<Outcome<Taking>> FromLotAsync(Act act, HandOverInput input)
    {
        string email = (input.MemberEmail ?? "").Trim().ToUpperInvariant();
        Person? member = await act.Db.People.AsNoTracking().SingleOrDefaultAsync(
            p => p.DisabledAt == null && (input.MemberId != null ? p.Id == input.MemberId : p.NormalizedEmail == email), act.Cancellation);
        if (member is null)
        {
            return Refusal.Invalid(input.MemberId is null ? "memberEmail" : "memberId", "There is no member {0}. Check the address, or invite them first.", input.MemberEmail ?? "");
        }

        Project? project = input.ProjectId is { } id ? await act.Db.Projects.AsNoTracking().SingleOrDefaultAsync(p => p.Id == id, act.Cancellation) : null;
        if (input.ProjectId is not null && project is null)
        {
            return Refusal.Invalid("projectId", "There is no such project.");
        }

        Outcome<LotView> view = await LotViews.ByCodeAsync(act, input.LotCode);
        if (!view.IsOk)
        {
            return Outcome<Taking>.Refused(view.Refusals);
        }

        Lot lot = (await LotLock.TakeAsync(act.Db, view.Value.Id, act.Cancellation))!;
        IReadOnlyList<Refusal> barred = HoldRules.MayBePromised(lot, project);
        return barred.Count > 0 ? Outcome<Taking>.Refused(barred) : new Taking(lot, null, member.Id, project?.Id);
    }

    private static long Tolerance(Lot lot, GuildSettings guild) => Math.Max(guild.WeighingToleranceGrams * 1000L, 2 * (lot.ScaleDivisionMg ?? 0));

    /// <summary>The hold was for all of the lot, or the scale shows a little more than the books have: either way the lot leaves as a whole.</summary>
    private static bool TakesAll(Lot lot, Hold? hold, long taken, GuildSettings guild)
    {
        long free = lot.OnHandMg - lot.HeldMg - lot.QuarantinedMg;
        bool close = Math.Abs(taken - free) <= Tolerance(lot, guild);
        return close && lot.HeldMg == 0 && (taken > free || hold?.Mg == free);
    }

    /// <summary>What of the lot must be booked besides the hand-over: the scale may show more or less than the books when the whole lot leaves.</summary>
    private static Outcome<long> Difference(Lot lot, long taken, bool whole, GuildSettings guild)
    {
        string code = LotCode.Parse(lot.Code).Value.Display;
        long free = lot.OnHandMg - lot.HeldMg - lot.QuarantinedMg;
        long tolerance = Tolerance(lot, guild);
        if (!whole)
        {
            return taken <= free
                ? 0L
                : Refusal.Conflict("not-enough-free", "{0} g were weighed, and {1} g of lot {2} are free. Give less, or hand over the whole lot.", taken / 1000m, free / 1000m, code);
        }

        if (lot.HeldMg > 0)
        {
            return Refusal.Conflict("held-for-others", "Others hold {0} g of lot {1}, so it can't leave as a whole.", lot.HeldMg / 1000m, code);
        }

        long difference = taken - free;
        return Math.Abs(difference) <= tolerance
            ? difference
            : Refusal.Conflict("beyond-weighing-error", "The scale shows {0} g and the books have {1} g of lot {2}: more apart than weighing explains ({3} g). Count the bin first.",
                taken / 1000m, free / 1000m, code, tolerance / 1000m);
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
            await WriteAsync(act, lot, MovementDraft.Create(Place.Adjustment, here, difference, MovementReason.WeighingDifference), null);
        }

        await WriteAsync(act, lot, MovementDraft.Create(here, Place.Member(taking.MemberId), taken, MovementReason.HandedOver), checkout.Id);
        if (difference < 0)
        {
            await WriteAsync(act, lot, MovementDraft.Create(here, Place.Adjustment, -difference, MovementReason.WeighingDifference), null);
        }

        await LotClosing.CloseIfEmptyAsync(act, lot);
        return new HandedOver(checkout.Id, lot.Code, taking.MemberId, taken, checkout.DueOn, lot.OnHandMg == 0, difference);
    }

    private static Task<int> WriteAsync(Act act, Lot lot, MovementDraft draft, Guid? checkoutId)
    {
        act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now, checkoutId: checkoutId));
        return act.Db.SaveChangesAsync(act.Cancellation);
    }
}
