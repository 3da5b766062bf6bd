using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Planning;

/// <summary>Stops a search: who asked for it may, and who works in the room. The best answer so far stays.</summary>
public sealed class StopPlan(GuildWork work)
{
    /// <returns>Where it stands now: a search that runs is stopped within seconds, one that has ended stays as it ended.</returns>
    public Task<Outcome<PlanState>> RunAsync(Guid by, Guid planId, CancellationToken cancellation) =>
        work.WriteAsync<PlanState>(by, Role.Member, async act =>
        {
            if (!await PlanViews.Seen(act).AnyAsync(p => p.Id == planId, act.Cancellation))
            {
                return PlanViews.NotFound();
            }

            string trouble = PlanTrouble.Write([new Phrase("It was stopped before its turn had come.")]);

            // In one statement, so that a job that takes it up at this moment is not overtaken.
            await act.Db.Database.ExecuteSqlAsync(
                $"""
                 update plan set stop_asked_at = now(), version = version + 1,
                     ended_at = case when state = 'Waiting' then now() else ended_at end,
                     trouble = case when state = 'Waiting' then {trouble} else trouble end,
                     state = case when state = 'Waiting' then 'Stopped' else state end
                 where id = {planId} and state in ('Waiting', 'Running') and stop_asked_at is null
                 """, act.Cancellation);
            return await act.Db.Plans.Where(p => p.Id == planId).Select(p => p.State).SingleAsync(act.Cancellation);
        }, cancellation);
}
