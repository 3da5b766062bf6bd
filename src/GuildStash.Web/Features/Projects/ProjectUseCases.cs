using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Drafts;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Projects;

public sealed record PieceInput(string? Name, int? Wanted, string? Notes)
{
    /// <summary>The row that it changes. Without it, the row of the same name is changed where there is one, else a new one is made.</summary>
    public Guid? Id { get; init; }

    /// <summary>The line of the piece book that says what yarn it takes.</summary>
    public Guid? PieceId { get; init; }

    /// <summary>1 to 1,000, the more the earlier; null is 1.</summary>
    public int? Priority { get; init; }
}

public sealed record ProjectInput
{
    public string? Name { get; init; }

    public string? Recipient { get; init; }

    public string? Description { get; init; }

    public RecipientRules Rules { get; init; }

    public DateOnly? Deadline { get; init; }

    /// <summary>Last part of the address at which everybody may see how far it is; null keeps it to members.</summary>
    public string? PublicName { get; init; }

    public IReadOnlyList<PieceInput> Pieces { get; init; } = [];
}

public sealed record PieceView(string Name, int Wanted, string Notes)
{
    public Guid Id { get; init; }

    /// <summary>The line of the piece book; null where nobody has said what it takes.</summary>
    public Guid? PieceId { get; init; }

    /// <summary>Its name in the piece book.</summary>
    public string? PieceName { get; init; }

    public int Priority { get; init; } = 1;

    /// <summary>Kits or records of progress are about it, so it can't be taken out.</summary>
    public bool IsInUse { get; init; }
}

public sealed record ProjectView
{
    public required Guid Id { get; init; }

    public required string Name { get; init; }

    public string Recipient { get; init; } = "";

    public string Description { get; init; } = "";

    public RecipientRules Rules { get; init; }

    public DateOnly? Deadline { get; init; }

    public string? PublicName { get; init; }

    public IReadOnlyList<PieceView> Pieces { get; init; } = [];

    public bool IsClosed { get; init; }

    public int Version { get; init; }

    /// <summary>Past its deadline and still open, by the guild's calendar.</summary>
    public bool IsLate { get; init; }

    /// <summary>Promised to it, not yet taken.</summary>
    public long HeldMg { get; init; }

    /// <summary>At members' homes for it.</summary>
    public long AtHomeMg { get; init; }

    /// <summary>Worked into its pieces.</summary>
    public long UsedMg { get; init; }
}

/// <summary>Starts a charity project.</summary>
public sealed class CreateProject(GuildWork work)
{
    public Task<Outcome<Guid>> RunAsync(Guid by, ProjectInput input, CancellationToken cancellation) => RunAsync(by, input, null, cancellation);

    /// <param name="draftOf">The form whose draft this submits.</param>
    public Task<Outcome<Guid>> RunAsync(Guid by, ProjectInput input, string? draftOf, CancellationToken cancellation) =>
        work.WriteAsync<Guid>(by, Role.Coordinator, async act =>
        {
            Check check = new();
            Project project = new() { Name = "", CreatedAt = act.Now, CreatedById = act.By.Id, ChangedAt = act.Now, ChangedById = act.By.Id };
            await ProjectFields.ApplyAsync(act, project, input, check);
            if (check.Failed)
            {
                return check.Refuse<Guid>();
            }

            act.Db.Projects.Add(project);
            await SubmittedDraft.ForgetAsync(act, draftOf);
            return project.Id;
        }, cancellation);
}

/// <summary>Changes a project. Holds that were made before stay, but nothing is handed over that breaks the rules as they are then.</summary>
public sealed class EditProject(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid projectId, int version, ProjectInput input, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Coordinator, async act =>
        {
            Project? project = await act.Db.Projects.Include(p => p.Pieces).SingleOrDefaultAsync(p => p.Id == projectId, act.Cancellation);
            if (project is null)
            {
                return Refusal.NotFound("There is no such project.");
            }

            if (project.Version != version)
            {
                return Refusal.Conflict("changed-meanwhile", "Somebody else changed this project meanwhile. Reload to see the present state, then enter your change again.");
            }

            Check check = new();
            await ProjectFields.ApplyAsync(act, project, input, check);
            if (check.Failed)
            {
                return check.Refuse<bool>();
            }

            project.ChangedAt = act.Now;
            project.ChangedById = act.By.Id;
            project.Version++;
            return true;
        }, cancellation);
}

/// <summary>Ends a project, or opens it again.</summary>
public sealed class CloseProject(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid projectId, bool close, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Coordinator, async act =>
        {
            Project? project = await act.Db.Projects.SingleOrDefaultAsync(p => p.Id == projectId, act.Cancellation);
            if (project is null)
            {
                return Refusal.NotFound("There is no such project.");
            }

            if (project.ClosedAt is not null == close)
            {
                return true;
            }

            project.ClosedAt = close ? act.Now : null;
            project.ChangedAt = act.Now;
            project.ChangedById = act.By.Id;
            project.Version++;
            return true;
        }, cancellation);
}
