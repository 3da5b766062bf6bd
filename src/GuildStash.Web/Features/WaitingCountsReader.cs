using GuildStash.Data.Approvals;
using GuildStash.Data.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Components.Layout;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features;

/// <summary>Counts what waits at each station for the person who is signed in, in one query.</summary>
public sealed class WaitingCountsReader(GuildWork work, SignedIn me) : IWaitingCounts
{
    public async Task<WaitingCounts> ReadAsync(CancellationToken cancellationToken)
    {
        Guid by = await me.IdAsync();
        Outcome<WaitingCounts> counts = await work.ReadAsync<WaitingCounts>(by, Role.Member, async act =>
        {
            bool room = act.By.Role >= Role.Volunteer;
            IQueryable<Hold> own = OwnHolds.Running(act);
            IQueryable<Approval> decidable = DecidableApprovals.Of(act);
            return await act.Db.Guilds.Select(_ => new WaitingCounts(
                room ? act.Db.Bags.Count(b => b.ClosedAt == null && b.QuarantineReason != null) : null,
                room ? act.Db.Bags.Count(b => b.ClosedAt == null && b.QuarantineReason == null) : null,
                null,
                act.Db.Projects.Count(p => p.ClosedAt == null),
                room
                    ? act.Db.HoldRequests.Count(r => r.Holds.Any(h => h.State == HoldState.Active && h.ExpiresAt > act.Now)) + act.Db.LotReturns.Count(r => r.SettledAt == null)
                    : null,
                act.Db.HoldRequests.Count(r => r.MemberId == act.By.Id && own.Any(h => h.RequestId == r.Id))
                    + act.Db.Checkouts.Count(c => c.MemberId == act.By.Id && c.ClosedAt == null),
                room ? decidable.Count() : null)).SingleAsync(act.Cancellation);
        }, cancellationToken);
        return counts.IsOk ? counts.Value : new WaitingCounts(null, null, null, null, null, null);
    }
}
