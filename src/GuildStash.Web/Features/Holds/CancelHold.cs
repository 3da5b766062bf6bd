using GuildStash.Data.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Holds;

/// <summary>Gives promised yarn back: one's own, or anybody's for a volunteer.</summary>
public sealed class CancelHold(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid holdId, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Member, async act =>
        {
            Outcome<Hold> hold = await HoldFinder.LockedAsync(act, holdId);
            if (!hold.IsOk)
            {
                return hold.Refusal;
            }

            hold.Value.State = HoldState.Cancelled;
            hold.Value.EndedAt = act.Now;
            hold.Value.EndedById = act.By.Id;
            return true;
        }, cancellation);
}

/// <summary>
/// Gives a hold that has not lapsed more time. One's own hold lasts no longer than
/// <see cref="RequestHolds.MostOwnDays"/> from the day it was made; a volunteer may give somebody else's more.
/// </summary>
public sealed class ExtendHold(GuildWork work)
{
    /// <param name="days">Days from now, 1 to <see cref="RequestHolds.MostDays"/>; fewer are given where the hold may not last as long.</param>
    /// <returns>Until when it is kept.</returns>
    public Task<Outcome<DateTimeOffset>> RunAsync(Guid by, Guid holdId, int days, CancellationToken cancellation) =>
        work.WriteAsync<DateTimeOffset>(by, Role.Member, async act =>
        {
            if (days is < 1 or > RequestHolds.MostDays)
            {
                return Refusal.Invalid("days", "A hold lasts 1 to {0} days; {1} were asked for.", RequestHolds.MostDays, days);
            }

            Outcome<Hold> hold = await HoldFinder.LockedAsync(act, holdId);
            if (!hold.IsOk)
            {
                return hold.Refusal;
            }

            DateTimeOffset until = act.Now.AddDays(days);
            if (hold.Value.Request.MemberId == act.By.Id)
            {
                int most = RequestHolds.MostOwnDays(await act.Db.Guilds.SingleAsync(act.Cancellation));
                DateTimeOffset latest = hold.Value.CreatedAt.AddDays(most);
                if (until > latest && latest <= hold.Value.ExpiresAt)
                {
                    return Refusal.Conflict("hold-lasts-longest",
                        "Yarn is kept at most {0} days from the day it was reserved, and this hold lasts that long already. Fetch the yarn before then, or cancel the hold and let others have it.", most);
                }

                until = until < latest ? until : latest;
            }

            hold.Value.ExpiresAt = until;
            return until;
        }, cancellation);
}

internal static class HoldFinder
{
    /// <summary>An active hold inside its lot's lock. Another member's hold is "not found": members don't learn of each other's.</summary>
    public static async Task<Outcome<Hold>> LockedAsync(Act act, Guid holdId)
    {
        var known = await act.Db.Holds.AsNoTracking().Where(h => h.Id == holdId)
            .Select(h => new { h.LotId, h.Request.MemberId }).SingleOrDefaultAsync(act.Cancellation);
        if (known is null || (known.MemberId != act.By.Id && act.By.Role < Role.Volunteer))
        {
            return Refusal.NotFound("There is no such hold among yours.");
        }

        await LotLock.TakeAsync(act.Db, known.LotId, act.Cancellation);
        Hold hold = await act.Db.Holds.Include(h => h.Lot).ThenInclude(l => l.Bin)
            .Include(h => h.Request).ThenInclude(r => r.Member).Include(h => h.Request).ThenInclude(r => r.Project)
            .SingleAsync(h => h.Id == holdId, act.Cancellation);
        return hold.State switch
        {
            HoldState.Active => hold,
            HoldState.Lapsed => Refusal.Conflict("hold-lapsed", "This hold has lapsed; its yarn is free again. Reserve anew."),
            HoldState.TakenHome => Refusal.Conflict("hold-ended", "This hold's yarn was handed over already."),
            _ => Refusal.Conflict("hold-ended", "This hold was cancelled."),
        };
    }
}
