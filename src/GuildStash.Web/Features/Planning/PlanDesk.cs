using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Planning;

/// <summary>What a plan can be asked of.</summary>
/// <param name="Project">The one that was named; else the one that is due first and can be planned.</param>
/// <param name="Book">Pieces in use by name, at most <see cref="PlanDeskReader.MostBook"/>.</param>
/// <param name="SafetyPercent">The guild's.</param>
/// <param name="WorksInRoom">Whether who asks may plan for a drive.</param>
public sealed record PlanDesk(IReadOnlyList<ProjectChoice> Projects, ProjectChoice? Project, IReadOnlyList<DeskPiece> Wanted, IReadOnlyList<BookPiece> Book, int SafetyPercent, bool WorksInRoom);

/// <summary>A piece that the project wants.</summary>
/// <param name="Missing">How many are neither in kits nor made.</param>
/// <param name="IsPlannable">Somebody has said what yarn it takes.</param>
public sealed record DeskPiece(Guid WantedPieceId, string Name, int Wanted, int Missing, bool IsPlannable, int? Minutes);

/// <param name="Minutes">Working time of one; null where nobody knows.</param>
public sealed record BookPiece(Guid Id, string Name, int? Minutes);

/// <summary>Reads what the form for a plan offers.</summary>
public sealed class PlanDeskReader(GuildWork work)
{
    public const int MostBook = 500;

    /// <param name="projectId">Null suggests one; a key of no project means none.</param>
    public Task<Outcome<PlanDesk>> RunAsync(Guid by, Guid? projectId, CancellationToken cancellation) =>
        work.ReadAsync<PlanDesk>(by, Role.Member, async act =>
        {
            IQueryable<Project> open = act.Db.Projects.Where(p => p.ClosedAt == null);
            List<ProjectChoice> projects = await open.OrderBy(p => p.Name).ThenBy(p => p.Id).Take(ProjectReader.MostChoices).Select(p => new ProjectChoice(p.Id, p.Name)).ToListAsync(act.Cancellation);
            Project? project = await open.Include(p => p.Pieces).ThenInclude(w => w.Piece)
                .Where(p => projectId == null ? p.Pieces.Any(w => w.PieceId != null) : p.Id == projectId)
                .OrderBy(p => p.Deadline == null).ThenBy(p => p.Deadline).ThenBy(p => p.Name).ThenBy(p => p.Id).FirstOrDefaultAsync(act.Cancellation);
            Dictionary<Guid, int> covered = await CoveredPieces.OfAsync(act.Db, [.. (project?.Pieces ?? []).Select(w => w.Id)], act.Now, act.Cancellation);
            List<BookPiece> book = await act.Db.Pieces.Where(p => p.RetiredAt == null).OrderBy(p => p.Name).ThenBy(p => p.Id).Take(MostBook)
                .Select(p => new BookPiece(p.Id, p.Name, p.Minutes)).ToListAsync(act.Cancellation);
            int safety = await act.Db.Guilds.Select(g => g.PlanSafetyPercent).SingleAsync(act.Cancellation);
            return new PlanDesk(
                projects,
                project is null ? null : new(project.Id, project.Name),
                [.. (project?.Pieces ?? []).OrderBy(w => w.Position).Select(w => new DeskPiece(w.Id, w.Name, w.Wanted, Math.Max(0, w.Wanted - covered.GetValueOrDefault(w.Id)), w.PieceId is not null, w.Piece?.Minutes))],
                book, safety, act.By.Role >= Role.Volunteer);
        }, cancellation);
}
