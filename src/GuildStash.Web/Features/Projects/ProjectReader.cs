using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Projects;

/// <summary>One lot's yarn for a project, in milligrams.</summary>
/// <param name="People">Who holds it, has it at home or used it up; a kit that nobody makes yet is nobody's. Empty for members, who don't learn of each other's.</param>
public sealed record ProjectYarn(LotView Lot, long HeldMg, long AtHomeMg, long UsedMg, IReadOnlyList<string> People);

/// <summary>An open project for a list to choose from.</summary>
public sealed record ProjectChoice(Guid Id, string Name);

/// <summary>Reads projects with what is reserved, at home and used for them.</summary>
public sealed class ProjectReader(GuildWork work)
{
    public const int MostChoices = 500;

    public Task<Outcome<PageOf<ProjectView>>> ListAsync(Guid by, bool withClosed, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<ProjectView>>(by, Role.Member, async act => page.Wrong() is { } wrong
            ? wrong
            : await Views(act, await TodayAsync(act), act.Db.Projects.Where(p => withClosed || p.ClosedAt == null)
                    .OrderBy(p => p.ClosedAt != null).ThenBy(p => p.Deadline == null).ThenBy(p => p.Deadline).ThenBy(p => p.Name).ThenBy(p => p.Id))
                .PageAsync(page, act.Cancellation), cancellation);

    public Task<Outcome<ProjectView>> OneAsync(Guid by, Guid projectId, CancellationToken cancellation) =>
        work.ReadAsync<ProjectView>(by, Role.Member, async act =>
        {
            ProjectView? view = await Views(act, await TodayAsync(act), act.Db.Projects.Where(p => p.Id == projectId)).SingleOrDefaultAsync(act.Cancellation);
            return view is not null ? view : Refusal.NotFound("There is no such project.");
        }, cancellation);

    /// <summary>Open projects by name, at most <see cref="MostChoices"/>.</summary>
    public Task<Outcome<List<ProjectChoice>>> ChoicesAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<List<ProjectChoice>>(by, Role.Member, async act =>
            await act.Db.Projects.Where(p => p.ClosedAt == null).OrderBy(p => p.Name).ThenBy(p => p.Id).Take(MostChoices)
                .Select(p => new ProjectChoice(p.Id, p.Name)).ToListAsync(act.Cancellation), cancellation);

    /// <summary>The lots of which something is or was for the project, newest first.</summary>
    public Task<Outcome<PageOf<ProjectYarn>>> YarnAsync(Guid by, Guid projectId, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<ProjectYarn>>(by, Role.Member, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            IQueryable<Hold> holds = act.Db.Holds.Where(h => h.Request.ProjectId == projectId && h.State == HoldState.Active && h.ExpiresAt > act.Now);
            IQueryable<Hold> own = OwnHolds.Running(act);
            IQueryable<Checkout> checkouts = act.Db.Checkouts.Where(c => c.ProjectId == projectId);
            var rows = await act.Db.Lots
                .Where(l => holds.Any(h => h.LotId == l.Id) || checkouts.Any(c => c.LotId == l.Id))
                .OrderByDescending(l => l.CreatedAt).ThenByDescending(l => l.Id)
                .Select(l => new
                {
                    l.Id,
                    Held = holds.Where(h => h.LotId == l.Id).Sum(h => h.Mg),
                    AtHome = checkouts.Where(c => c.LotId == l.Id && c.ClosedAt == null).Sum(c => c.AtHomeMg),
                    Used = act.Db.Movements.Where(m => m.LotId == l.Id && m.ToKind == PlaceKind.Project && m.ToId == projectId).Sum(m => m.Mg),
                    Holders = own.Where(h => h.LotId == l.Id && h.Request.ProjectId == projectId).Select(h => h.Request.Member.DisplayName).ToList(),
                    Takers = checkouts.Where(c => c.LotId == l.Id && (c.ClosedAt == null || act.Db.Movements.Any(m => m.CheckoutId == c.Id && m.ToKind == PlaceKind.Project))).Select(c => c.Member.DisplayName).ToList(),
                })
                .PageAsync(page, act.Cancellation);
            Guid[] ids = [.. rows.Items.Select(r => r.Id)];
            Dictionary<Guid, LotView> lots = (await LotViews.Rows(act.Db.Lots.Where(l => ids.Contains(l.Id))).ToListAsync(act.Cancellation)).ToDictionary(r => r.Lot.Id, r => LotViews.From(r, act.Yardage));
            bool all = act.By.Role >= Role.Volunteer;
            return rows.Select(r => new ProjectYarn(lots[r.Id], r.Held, r.AtHome, r.Used, all ? [.. r.Holders.Union(r.Takers).Order()] : []));
        }, cancellation);

    internal static async Task<DateOnly> TodayAsync(Act act) => GuildClock.Today(await act.Db.Guilds.SingleAsync(act.Cancellation), act.Now);

    private static IQueryable<ProjectView> Views(Act act, DateOnly today, IQueryable<Project> projects) =>
        projects.Select(p => new ProjectView
        {
            Id = p.Id,
            Name = p.Name,
            Recipient = p.Recipient,
            Description = p.Description,
            Rules = p.Rules,
            Deadline = p.Deadline,
            PublicName = p.PublicName,
            Pieces = p.Pieces.OrderBy(w => w.Position).Select(w => new PieceView(w.Name, w.Wanted, w.Notes)
            {
                Id = w.Id,
                PieceId = w.PieceId,
                PieceName = w.Piece!.Name,
                Priority = w.Priority,
                IsInUse = act.Db.Kits.Any(k => k.WantedPieceId == w.Id) || act.Db.PieceRecords.Any(r => r.WantedPieceId == w.Id),
            }).ToList(),
            IsClosed = p.ClosedAt != null,
            IsLate = p.ClosedAt == null && p.Deadline < today,
            Version = p.Version,
            HeldMg = act.Db.Holds.Where(h => h.Request.ProjectId == p.Id && h.State == HoldState.Active && h.ExpiresAt > act.Now).Sum(h => h.Mg),
            AtHomeMg = act.Db.Checkouts.Where(c => c.ProjectId == p.Id && c.ClosedAt == null).Sum(c => c.AtHomeMg),
            // By the checkouts, which have an index on the project; movements have none on where they lead.
            UsedMg = act.Db.Checkouts.Where(c => c.ProjectId == p.Id)
                .SelectMany(c => act.Db.Movements.Where(m => m.CheckoutId == c.Id && m.ToKind == PlaceKind.Project)).Sum(m => m.Mg),
        });
}
