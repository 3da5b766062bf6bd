using GuildStash.Data.Guild;
using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Domain.Codes;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <summary>Puts a kit's yarn back before anybody took it home: its holds are cancelled, and it says why.</summary>
public sealed class ReleaseKit(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid kitId, string? reason, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Volunteer, async act =>
        {
            Check check = new();
            string why = check.Needed(reason, "reason", 500);
            Outcome<Kit> found = await KitFinder.LockedAsync(act, kitId);
            if (!found.IsOk || check.Failed)
            {
                return Outcome<bool>.Refused([.. found.Refusals, .. check.Refusals]);
            }

            Kit kit = found.Value;
            if (KitFinder.Gone(kit) is { } gone)
            {
                return gone;
            }

            if (kit.Lines.Any(l => l.Hold.State == HoldState.TakenHome))
            {
                return Refusal.Conflict("kit-at-home", "Yarn of kit {0} was taken home, so it can't be put back as a whole. Take the leftovers back instead.", kit.Number);
            }

            foreach (Hold hold in kit.Lines.Select(l => l.Hold).Where(h => h.State == HoldState.Active))
            {
                (hold.State, hold.EndedAt, hold.EndedById) = (HoldState.Cancelled, act.Now, act.By.Id);
            }

            (kit.ReleasedAt, kit.ReleasedById, kit.ReleaseReason) = (act.Now, act.By.Id, why);
            kit.Version++;
            return true;
        }, cancellation);
}

/// <summary>
/// Keeps a kit's yarn longer: running holds get more time, and what has lapsed or was cancelled is held anew where it is still free, all
/// of it or nothing. What was weighed out stays weighed: it lies in the kit.
/// </summary>
public sealed class KeepKit(GuildWork work)
{
    /// <param name="days">Days from now; the guild's setting when null.</param>
    /// <returns>Until when it is kept.</returns>
    public Task<Outcome<DateTimeOffset>> RunAsync(Guid by, Guid kitId, int? days, CancellationToken cancellation) =>
        work.WriteAsync<DateTimeOffset>(by, Role.Volunteer, async act =>
        {
            int count = days ?? await act.Db.Guilds.Select(g => g.HoldDays).SingleAsync(act.Cancellation);
            if (count is < 1 or > RequestHolds.MostDays)
            {
                return Refusal.Invalid("days", "A hold lasts 1 to {0} days; {1} were asked for.", RequestHolds.MostDays, count);
            }

            Outcome<Kit> found = await KitFinder.LockedAsync(act, kitId);
            if (!found.IsOk)
            {
                return found.Refusal;
            }

            if (KitFinder.Gone(found.Value) is { } gone)
            {
                return gone;
            }

            return await KeepAsync(act, found.Value, act.Now.AddDays(count));
        }, cancellation);

    private static async Task<Outcome<DateTimeOffset>> KeepAsync(Act act, Kit kit, DateTimeOffset until)
    {
        List<KitLine> running = [.. kit.Lines.Where(l => l.Hold.State == HoldState.Active)];
        List<KitLine> lost = [.. kit.Lines.Where(l => l.Hold.State is HoldState.Lapsed or HoldState.Cancelled)];
        if (running.Count + lost.Count == 0)
        {
            return Refusal.Conflict("kit-at-home", "All of kit {0} was handed over, so nothing is kept in the room.", kit.Number);
        }

        List<Refusal> refusals = [.. lost.SelectMany(l => HoldRules.MayBePromised(l.Hold.Lot, kit.Request.Project, null))];
        foreach (IGrouping<Guid, KitLine> lot in lost.GroupBy(l => l.Hold.LotId))
        {
            long wanted = lot.Sum(l => l.Hold.Mg);
            long free = KitFinder.Besides(lot.First());
            if (wanted > free)
            {
                refusals.Add(Refusal.Conflict("not-enough-free", "{0} of lot {1} were in this kit, and {2} are free now. Put the kit back and make a new one, or wait until more is free.",
                    Mass.FromMilligrams(wanted), LotCode.Parse(lot.First().Hold.Lot.Code).Value.Display, Mass.FromMilligrams(free)));
            }
        }

        if (refusals.Count > 0)
        {
            return Outcome<DateTimeOffset>.Refused(refusals);
        }

        running.ForEach(l => l.Hold.ExpiresAt = until > l.Hold.ExpiresAt ? until : l.Hold.ExpiresAt);
        foreach (KitLine line in lost)
        {
            Hold again = new()
            {
                RequestId = kit.RequestId,
                LotId = line.Hold.LotId,
                Mg = line.Hold.Mg,
                WantedMetres = line.Hold.WantedMetres,
                CreatedAt = act.Now,
                ExpiresAt = until,
            };
            act.Db.Holds.Add(again);
            (line.HoldId, line.Hold) = (again.Id, again);
        }

        kit.Version++;
        return until;
    }
}
