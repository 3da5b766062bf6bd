using GuildStash.Data.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Projects;

internal static class OpenProject
{
    /// <summary>The project for which yarn is reserved or taken: one that exists and is not closed.</summary>
    public static async Task<Outcome<Project>> FindAsync(Act act, Guid projectId)
    {
        Project? project = await act.Db.Projects.SingleOrDefaultAsync(p => p.Id == projectId, act.Cancellation);
        if (project is null)
        {
            return Refusal.Invalid("projectId", "There is no such project.");
        }

        return project.ClosedAt is null
            ? project
            : Refusal.Conflict("project-closed", "The project {0} is closed. Choose another, or go on without a project.", project.Name) with { Field = "projectId" };
    }
}
