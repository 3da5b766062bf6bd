using GuildStash.Data;
using GuildStash.Data.Guild;
using GuildStash.Domain.Projects;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Drives;

/// <summary>
/// Projects as everybody may see them. It asks for nobody's rights, so it selects only what <see cref="DriveView"/> names, and only of
/// projects that a coordinator gave a public name.
/// </summary>
public sealed class OpenDrives(IDbContextFactory<GuildDbContext> contexts, TimeProvider clock)
{
    public const int LongestName = 60;

    private const int MostKept = 200;

    private readonly ForAMinute<DriveView> _kept = new(clock, MostKept);

    /// <summary>Null where no project has this name, capitals or not.</summary>
    public Task<DriveView?> FindAsync(string? publicName, CancellationToken cancellation) =>
        publicName is { Length: > 0 and <= LongestName } name && name.All(c => char.IsAsciiLetterOrDigit(c) || c == '-')
            ? _kept.GetAsync(name.ToLowerInvariant(), stop => ReadAsync(name.ToLowerInvariant(), stop), cancellation)
            : Task.FromResult<DriveView?>(null);

    private async Task<DriveView?> ReadAsync(string name, CancellationToken cancellation)
    {
        await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
        db.ChangeTracker.QueryTrackingBehavior = QueryTrackingBehavior.NoTracking;
        var project = await db.Projects.Where(p => p.PublicName == name)
            .Select(p => new
            {
                p.Id,
                p.Name,
                p.Recipient,
                p.Deadline,
                p.Rules,
                IsClosed = p.ClosedAt != null,
                Pieces = p.Pieces.OrderBy(w => w.Position).Select(w => new { w.Id, w.Name, w.Wanted }).ToList(),
            })
            .SingleOrDefaultAsync(cancellation);
        if (project is null)
        {
            return null;
        }

        List<DriveSum> sums = await db.PieceRecords.Where(r => r.ProjectId == project.Id && r.Step != PieceStep.Started)
            .GroupBy(r => new { r.WantedPieceId, r.PieceName, r.Step })
            .Select(g => new DriveSum(g.Key.WantedPieceId, g.Key.PieceName, g.Key.Step, g.Sum(r => r.Pieces)))
            .ToListAsync(cancellation);
        GuildSettings guild = await db.Guilds.SingleAsync(cancellation);
        DateTimeOffset now = clock.GetUtcNow();
        return new DriveView(
            project.Name, project.Recipient, project.Deadline, !project.IsClosed && project.Deadline < GuildClock.Today(guild, now), project.IsClosed, project.Rules,
            DriveFigures.Of([.. project.Pieces.Select(p => (p.Id, p.Name, p.Wanted))], sums), guild.Name, guild.Address, guild.WantedIsPublic, now);
    }
}
