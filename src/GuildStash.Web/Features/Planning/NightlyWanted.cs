using GuildStash.Data;
using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Planning;

/// <summary>Asks every night what the open projects lack, in the name of whoever asked last, or else of the guild's first administrator.</summary>
public sealed partial class NightlyWanted(GuildYardage yardage, ILogger<NightlyWanted> log)
{
    /// <summary>Seconds for the plan of all open projects together. Judgement.</summary>
    public const double Seconds = 60;

    // Roles are kept by name, so that the database can't compare them.
    private static readonly Role[] s_askers = [Role.Coordinator, Role.Administrator];

    public static PlanRequest Request { get; } = new(PlanPurpose.Wanted, new PlanAsk { AllProjects = true, Seconds = Seconds });

    /// <param name="due">Where another node has asked since this moment, nothing is asked.</param>
    /// <returns>Whether a plan waits now; not where no open project wants anything that can be planned and no earlier answer says otherwise.</returns>
    public async Task<bool> AskAsync(IDbContextFactory<GuildDbContext> contexts, DateTimeOffset due, CancellationToken cancellation)
    {
        await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
        if (await db.Plans.AnyAsync(p => p.Purpose == PlanPurpose.Wanted && p.CreatedAt >= due, cancellation)
            || !(await IsAnythingWantedAsync(db, cancellation) || await WantedYarns.Answered(db).AnyAsync(cancellation)))
        {
            return false;
        }

        var asker = await db.Plans.Where(p => p.Purpose == PlanPurpose.Wanted && p.CreatedBy.DisabledAt == null && s_askers.Contains(p.CreatedBy.Role))
                .OrderByDescending(p => p.CreatedAt).Select(p => new { p.CreatedBy.Id, p.CreatedBy.DisplayName, p.CreatedBy.Role }).FirstOrDefaultAsync(cancellation)
            ?? await db.People.Where(p => p.Role == Role.Administrator && p.DisabledAt == null)
                .OrderBy(p => p.CreatedAt).Select(p => new { p.Id, p.DisplayName, p.Role }).FirstOrDefaultAsync(cancellation);
        if (asker is null)
        {
            return false;
        }

        await using var transaction = await db.Database.BeginTransactionAsync(cancellation);
        DateTimeOffset now = (await db.Database.SqlQuery<DateTimeOffset>($"select now() as \"Value\"").ToListAsync(cancellation))[0];
        Act act = new(db, new Actor(asker.Id, asker.DisplayName, asker.Role), now, await yardage.ReadAsync(db, cancellation), cancellation);
        Outcome<AskedPlan> asked = await AskPlan.WithinAsync(act, Request);
        if (!asked.IsOk)
        {
            LogNothing(string.Join(' ', asked.Refusals));
            return false;
        }

        await db.SaveChangesAsync(cancellation);
        await transaction.CommitAsync(cancellation);
        return true;
    }

    private static Task<bool> IsAnythingWantedAsync(GuildDbContext db, CancellationToken cancellation) =>
        db.WantedPieces.AnyAsync(w => w.PieceId != null && db.Projects.Any(p => p.Id == w.ProjectId && p.ClosedAt == null), cancellation);

    [LoggerMessage(LogLevel.Information, "Nothing is planned tonight for the open projects: {Reason}")]
    private partial void LogNothing(string reason);
}
