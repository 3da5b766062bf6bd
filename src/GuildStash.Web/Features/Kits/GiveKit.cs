using GuildStash.Data.Ledger;
using GuildStash.Data.People;
using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <summary>Gives a kit to the member who makes it: its request becomes that member's.</summary>
public sealed class GiveKit(GuildWork work)
{
    /// <param name="memberId">Who makes it.</param>
    public Task<Outcome<bool>> RunAsync(Guid by, Guid kitId, Guid? memberId, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Volunteer, async act =>
        {
            Outcome<Kit> found = await KitFinder.LockedAsync(act, kitId);
            return found.IsOk ? await GiveAsync(act, found.Value, memberId) : Outcome<bool>.Refused(found.Refusals);
        }, cancellation);

    /// <summary>Gives a locked kit to a member.</summary>
    internal static async Task<Outcome<bool>> GiveAsync(Act act, Kit kit, Guid? memberId)
    {
        if (memberId is not { } member)
        {
            return Refusal.Invalid("memberId", "Say who makes it.");
        }

        Person? person = await act.Db.People.SingleOrDefaultAsync(p => p.Id == member && p.DisabledAt == null, act.Cancellation);
        if (person is null)
        {
            return Refusal.Invalid("memberId", "There is no such member with an active account.");
        }

        if ((KitFinder.Gone(kit) ?? Started(kit)) is { } refusal)
        {
            return refusal;
        }

        (kit.Request.MemberId, kit.Request.Member, kit.GivenAt) = (member, person, act.Now);
        kit.Version++;
        await act.Db.SaveChangesAsync(act.Cancellation);
        return true;
    }

    internal static Refusal? Started(Kit kit) => kit.Lines.Any(l => l.Hold.State == HoldState.TakenHome)
        ? Refusal.Conflict("kit-at-home", "Yarn of kit {0} was taken home already, so it stays with that member.", kit.Number)
        : null;
}

/// <summary>"I'll make this": a member takes a kit that nobody makes yet.</summary>
public sealed class TakeKit(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid kitId, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Member, async act =>
        {
            Outcome<Kit> found = await KitFinder.LockedAsync(act, kitId);
            if (!found.IsOk)
            {
                // Who was slower may not see the other's kit, but pressed a button of it a moment ago.
                return await act.Db.Kits.AnyAsync(k => k.Id == kitId, act.Cancellation)
                    ? Refusal.Conflict("kit-is-taken", "Somebody makes this kit already, or its yarn is not held any more. Choose another.")
                    : Outcome<bool>.Refused(found.Refusals);
            }

            return await KitFinder.IsOpenAsync(act.Db, kitId, act.Now, act.Cancellation)
                ? await GiveKit.GiveAsync(act, found.Value, act.By.Id)
                : Refusal.Conflict("kit-is-taken", "Somebody makes kit {0} already, or its yarn is not held any more. Choose another.", found.Value.Number);
        }, cancellation);
}

/// <summary>"I can't make it after all": a member gives back a kit of which nothing went home, and it is shown to all again.</summary>
public sealed class LeaveKit(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid kitId, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Member, async act =>
        {
            Outcome<Kit> found = await KitFinder.LockedAsync(act, kitId);
            if (!found.IsOk)
            {
                return Outcome<bool>.Refused(found.Refusals);
            }

            Kit kit = found.Value;
            Refusal? refusal = kit.Request.MemberId != act.By.Id || kit.GivenAt is null
                ? Refusal.Forbidden("Kit {0} is not yours to make. Who makes it is changed on its own page.", kit.Number)
                : KitFinder.Gone(kit) ?? GiveKit.Started(kit);
            if (refusal is not null)
            {
                return refusal;
            }

            (kit.Request.MemberId, kit.GivenAt) = (kit.Request.CreatedById, null);
            kit.Version++;
            await act.Db.SaveChangesAsync(act.Cancellation);
            return true;
        }, cancellation);
}

/// <param name="MemberId">Who takes it; null: whose it is already.</param>
/// <param name="Grams">What the scale shows for each line; a line that is not named has what was weighed out.</param>
public sealed record KitHandOverInput(Guid? MemberId, IReadOnlyDictionary<Guid, decimal?> Grams);

/// <summary>Hands a kit over: each of its lines as any promised yarn is, all of them in one transaction. Its pieces are then started.</summary>
public sealed class HandOverKit(GuildWork work)
{
    /// <param name="scaleId">The scale that the grams were weighed on now; lines without grams keep the scale of their weighing out.</param>
    /// <returns>How many lines went home.</returns>
    public Task<Outcome<int>> RunAsync(Guid by, Guid kitId, KitHandOverInput input, Guid? scaleId, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => HandOverAsync(act, kitId, input, scaleId), cancellation);

    private static async Task<Outcome<int>> HandOverAsync(Act act, Guid kitId, KitHandOverInput input, Guid? scaleId)
    {
        Outcome<Kit> found = await KitFinder.LockedAsync(act, kitId);
        if (!found.IsOk)
        {
            return Outcome<int>.Refused(found.Refusals);
        }

        Kit kit = found.Value;
        if ((KitFinder.Gone(kit) ?? Unready(kit, input)) is { } refusal)
        {
            return refusal;
        }

        if (input.MemberId is null && await KitFinder.IsOpenAsync(act.Db, kit.Id, act.Now, act.Cancellation))
        {
            return Refusal.Conflict("kit-is-nobodys", "Nobody makes kit {0} yet. Choose who takes it.", kit.Number) with { Field = "memberId" };
        }

        if (input.MemberId is { } member && member != kit.Request.MemberId && await GiveKit.GiveAsync(act, kit, member) is { IsOk: false } notGiven)
        {
            return Outcome<int>.Refused(notGiven.Refusals);
        }

        if (input.MemberId is not null)
        {
            kit.GivenAt ??= act.Now;
            await act.Db.SaveChangesAsync(act.Cancellation);
        }

        List<KitLine> waiting = [.. kit.Lines.Where(l => l.Hold.State == HoldState.Active)];
        foreach (KitLine line in waiting)
        {
            bool isWeighedNow = input.Grams.GetValueOrDefault(line.Id) is not null;
            Outcome<HandedOver> taken = await HandOverYarn.HandOverAsync(
                act, new HandOverInput(line.HoldId, Grams: Grams(line, input)), isWeighedNow ? scaleId : null, isWeighedNow ? null : line.ScaleDivisionMg);
            if (!taken.IsOk)
            {
                return Outcome<int>.Refused([.. taken.Refusals.Select(r => r.Field == "grams" ? r with { Field = FieldOf(line.Id) } : r)]);
            }
        }

        return waiting.Count;
    }

    /// <summary>Field of a line's grams in refusals.</summary>
    public static string FieldOf(Guid lineId) => $"grams-{lineId:N}";

    /// <summary>Each line must be weighed and still held: half a kit makes no piece.</summary>
    private static Refusal? Unready(Kit kit, KitHandOverInput input)
    {
        if (kit.Lines.All(l => l.Hold.State == HoldState.TakenHome))
        {
            return Refusal.Conflict("hold-ended", "Kit {0} was handed over already.", kit.Number);
        }

        if (kit.Lines.Any(l => l.Hold.State is HoldState.Lapsed or HoldState.Cancelled))
        {
            return Refusal.Conflict("hold-lapsed", "Some yarn of kit {0} is not held any more. Hold it again first.", kit.Number);
        }

        KitLine? unweighed = kit.Lines.Find(l => l is { Hold.State: HoldState.Active, WeighedMg: null } && input.Grams.GetValueOrDefault(l.Id) is null);
        return unweighed is null ? null : Refusal.Invalid(FieldOf(unweighed.Id), "Enter the grams that the scale shows.");
    }

    /// <summary>What was weighed out, unless the lot is shared with others: then no more leaves than is promised, the scale's rounding aside.</summary>
    private static decimal Grams(KitLine line, KitHandOverInput input) =>
        input.Grams.GetValueOrDefault(line.Id) ?? (KitFinder.Others(line) > 0 ? Math.Min(line.WeighedMg!.Value, line.Hold.Mg) : line.WeighedMg!.Value) / 1000m;
}
