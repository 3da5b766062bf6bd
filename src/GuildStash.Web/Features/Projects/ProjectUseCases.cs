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
    public Task<Outcome<Guid>> RunAsync(Guid by, ProjectInput input, CancellationToken cancellation) =>
        work.WriteAsync<Guid>(by, Role.Coordinator, async act =>
        {
            Check check = new();
            Project project = new() { Name = "", CreatedAt = act.Now, CreatedById = act.By.Id, ChangedAt = act.Now, ChangedById = act.By.Id };
            ProjectFields.Apply(project, input, await ProjectReader.TodayAsync(act), check);
            if (check.Failed)
            {
                return check.Refuse<Guid>();
            }

            act.Db.Projects.Add(project);
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
            List<WantedPiece> before = [.. project.Pieces];
            ProjectFields.Apply(project, input, await ProjectReader.TodayAsync(act), check);
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

internal static class ProjectFields
{
    public const int MostPieces = 50;
    public const int MostWanted = 100_000;
    public const int MostYearsAhead = 10;

    /// <summary>Writes what was entered; nothing is written when the check failed. A deadline that stood there before may be past.</summary>
    public static void Apply(Project project, ProjectInput input, DateOnly today, Check check)
    {
        string name = check.Needed(input.Name, "name", 150);
        string recipient = check.Text(input.Recipient, "recipient", 200);
        string description = check.Text(input.Description, "description", 4000);
        check.That(input.Pieces.Count <= MostPieces, "pieces", "A project has at most {0} kinds of pieces; {1} were given.", MostPieces, input.Pieces.Count);
        RecipientRules known = RecipientRuleBook.Each.Aggregate(RecipientRules.None, (all, r) => all | r.Rule);
        check.That((input.Rules & ~known) == 0, "rules", "There is a rule among these that does not exist.");
        check.That(input.Deadline is null || input.Deadline == project.Deadline || (input.Deadline >= today && input.Deadline <= today.AddYears(MostYearsAhead)), "deadline",
            "{0} can't be the deadline; allowed is from today to {1} years ahead. Leave it empty where there is none.", input.Deadline ?? today, MostYearsAhead);
        List<WantedPiece> pieces = ReadPieces(project, input, check);
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

    private static List<WantedPiece> ReadPieces(Project project, ProjectInput input, Check check)
    {
        List<WantedPiece> pieces = [];
        foreach ((PieceInput piece, int i) in input.Pieces.Take(MostPieces).Select((p, i) => (p, i)))
        {
            int wanted = piece.Wanted ?? 0;
            if (piece.Wanted is null)
            {
                check.Add(Refusal.Invalid($"pieces[{i}].wanted", "Say how many of these are wanted: a whole number from 1 to {0:N0}.", MostWanted));
            }
            else
            {
                check.That(wanted is >= 1 and <= MostWanted, $"pieces[{i}].wanted", "{0} pieces can't be wanted; allowed are 1 to {1:N0}.", wanted, MostWanted);
            }

            pieces.Add(new WantedPiece
            {
                ProjectId = project.Id,
                Position = i,
                Name = check.Needed(piece.Name, $"pieces[{i}].name", 100),
                Wanted = wanted,
                Notes = check.Text(piece.Notes, $"pieces[{i}].notes", 500),
            });
        }

        return pieces;
    }
}
