using GuildStash.Data.Approvals;
using GuildStash.Data.Guild;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.People;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.SecondPerson;

/// <summary>The requests that a person may approve now, as one question to the database.</summary>
internal static class DecidableApprovals
{
    public static IQueryable<Approval> Of(Act act)
    {
        ApprovalKind[] ofVolunteers = [.. ApprovalRights.DecidedBy(act.By.Role, Role.Volunteer)];
        ApprovalKind[] ofCoordinators = [.. ApprovalRights.DecidedBy(act.By.Role, Role.Coordinator)];
        Role[] coordinators = [Role.Coordinator, Role.Administrator];
        IQueryable<GuildSettings> guild = act.Db.Guilds;
        return act.Db.Approvals.Where(a => a.State == ApprovalState.Waiting
            && (ofVolunteers.Contains(a.Kind) || (ofCoordinators.Contains(a.Kind) && coordinators.Contains(a.AskedAs)))
            && (a.AskedById != act.By.Id || guild.Any(g => g.DelayedReviewIsOn && a.AskedAt.AddHours(g.DelayedReviewHours) <= act.Now)));
    }
}
