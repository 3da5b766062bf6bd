using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Projects;

public sealed record PieceInput(string? Name, int? Wanted, string? Notes);

public sealed record ProjectInput
{
    public string? Name { get; init; }

    public string? Recipient { get; init; }

    public string? Description { get; init; }

    public RecipientRules Rules { get; init; }

    public DateOnly? Deadline { get; init; }

    public IReadOnlyList<PieceInput> Pieces { get; init; } = [];
}

public sealed record PieceView(string Name, int Wanted, string Notes);

public sealed record ProjectView
{
    public required Guid Id { get; init; }

    public required string Name { get; init; }

    public string Recipient { get; init; } = "";

    public string Description { get; init; } = "";

    public RecipientRules Rules { get; init; }

    public DateOnly? Deadline { get; init; }

    public IReadOnlyList<PieceView> Pieces { get; init; } = [];

    public bool IsClosed { get; init; }

    public int Version { get; init; }

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
    public Task<Outcome<Guid>> RunAsync(Guid by, ProjectInput input, CancellationToken cancellation) =>
        work.WriteAsync<Guid>(by, Role.Coordinator, act =>
        {
            Check check = new();
            Project project = new() { Name = "", CreatedAt = act.Now, CreatedById = act.By.Id, ChangedAt = act.Now, ChangedById = act.By.Id };
            ProjectFields.Apply(project, input, check);
            if (check.Failed)
            {
                return Task.FromResult(check.Refuse<Guid>());
            }

            act.Db.Projects.Add(project);
            return Task.FromResult<Outcome<Guid>>(project.Id);
        }, cancellation);
}

/// <summary>Changes a project; holds that were made before stay, new ones follow the new rules.</summary>
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
            List<WantedPiece> before = [.. project.Pieces];
            ProjectFields.Apply(project, input, check);
            if (check.Failed)
            {
                return check.Refuse<bool>();
            }

            act.Db.WantedPieces.RemoveRange(before);
            act.Db.WantedPieces.AddRange(project.Pieces);
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

            project.ClosedAt = close ? act.Now : null;
            project.ChangedAt = act.Now;
            project.ChangedById = act.By.Id;
            project.Version++;
            return true;
        }, cancellation);
}

public sealed class ProjectReader(GuildWork work)
{
    public Task<Outcome<PageOf<ProjectView>>> ListAsync(Guid by, bool withClosed, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<ProjectView>>(by, Role.Member, async act => page.Wrong() is { } wrong
            ? wrong
            : await Views(act, act.Db.Projects.Where(p => withClosed || p.ClosedAt == null).OrderBy(p => p.ClosedAt != null).ThenBy(p => p.Deadline == null).ThenBy(p => p.Deadline).ThenBy(p => p.Name))
                .PageAsync(page, act.Cancellation), cancellation);

    public Task<Outcome<ProjectView>> OneAsync(Guid by, Guid projectId, CancellationToken cancellation) =>
        work.ReadAsync<ProjectView>(by, Role.Member, async act =>
        {
            ProjectView? view = await Views(act, act.Db.Projects.Where(p => p.Id == projectId)).SingleOrDefaultAsync(act.Cancellation);
            return view is not null ? view : Refusal.NotFound("There is no such project.");
        }, cancellation);

    private static IQueryable<ProjectView> Views(Act act, IQueryable<Project> projects) =>
        projects.Select(p => new ProjectView
        {
            Id = p.Id,
            Name = p.Name,
            Recipient = p.Recipient,
            Description = p.Description,
            Rules = p.Rules,
            Deadline = p.Deadline,
            Pieces = p.Pieces.OrderBy(w => w.Position).Select(w => new PieceView(w.Name, w.Wanted, w.Notes)).ToList(),
            IsClosed = p.ClosedAt != null,
            Version = p.Version,
            HeldMg = act.Db.Holds.Where(h => h.Request.ProjectId == p.Id && h.State == Data.Ledger.HoldState.Active && h.ExpiresAt > act.Now).Sum(h => h.Mg),
            AtHomeMg = act.Db.Checkouts.Where(c => c.ProjectId == p.Id && c.ClosedAt == null).Sum(c => c.AtHomeMg),
            UsedMg = act.Db.Movements.Where(m => m.ToKind == Domain.Ledger.PlaceKind.Project && m.ToId == p.Id).Sum(m => m.Mg),
        });
}

internal static class ProjectFields
{
    public const int MostPieces = 50;
    public const int MostWanted = 100_000;

    public static void Apply(Project project, ProjectInput input, Check check)
    {
        string name = check.Needed(input.Name, "name", 150);
        string recipient = check.Text(input.Recipient, "recipient", 200);
        string description = check.Text(input.Description, "description", 4000);
        check.That(input.Pieces.Count <= MostPieces, "pieces", "A project has at most {0} kinds of pieces; {1} were given.", MostPieces, input.Pieces.Count);
        RecipientRules known = RecipientRuleBook.Each.Aggregate(RecipientRules.None, (all, r) => all | r.Rule);
        check.That((input.Rules & ~known) == 0, "rules", "There is a rule among these that does not exist.");
        List<WantedPiece> pieces = [];
        foreach ((PieceInput piece, int i) in input.Pieces.Take(MostPieces).Select((p, i) => (p, i)))
        {
            int wanted = piece.Wanted ?? 0;
            check.That(wanted is >= 1 and <= MostWanted, $"pieces[{i}].wanted", "{0} pieces can't be wanted; allowed are 1 to {1}.", wanted, MostWanted);
            pieces.Add(new WantedPiece
            {
                ProjectId = project.Id,
                Position = i,
                Name = check.Needed(piece.Name, $"pieces[{i}].name", 100),
                Wanted = wanted,
                Notes = check.Text(piece.Notes, $"pieces[{i}].notes", 500),
            });
        }

        if (check.Failed)
        {
            return;
        }

        project.Name = name;
        project.Recipient = recipient;
        project.Description = description;
        project.Rules = input.Rules;
        project.Deadline = input.Deadline;
        project.Pieces.Clear();
        project.Pieces.AddRange(pieces);
    }
}
