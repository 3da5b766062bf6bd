using GuildStash.Data;
using GuildStash.Data.Guild;
using GuildStash.Domain.Projects;
using GuildStash.Web.Features.Planning;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Wanted;

/// <summary>Puts what plans say is lacking beside the projects as they are now.</summary>
internal static class WantedSheets
{
    /// <summary>Lines at most; a kind of yarn is a class or some and a family, so a guild rarely has more than a dozen.</summary>
    public const int MostLines = 100;

    /// <summary>Pieces nobody has said the yarn of that are listed.</summary>
    public const int MostUnsaid = 20;

    /// <summary>Projects with a page for everybody that are listed; a guild has a handful of drives at a time.</summary>
    public const int MostDrives = 50;

    private sealed record ProjectRow(Guid Id, string Name, RecipientRules Rules, string? PublicName);

    /// <param name="forEverybody">Projects without a public name are not named, and what is to be done in the room is left out.</param>
    public static async Task<WantedSheet> ReadAsync(GuildDbContext db, bool forEverybody, CancellationToken cancellation)
    {
        WantedYarn wanted = await WantedYarns.ReadAsync(db, cancellation);
        GuildSettings guild = await db.Guilds.AsNoTracking().SingleAsync(cancellation);
        Guid[] ids = [.. wanted.Lines.SelectMany(line => line.Pieces).Select(piece => piece.ProjectId).OfType<Guid>().Distinct()];
        Dictionary<Guid, ProjectRow> open = await db.Projects.Where(p => ids.Contains(p.Id) && p.ClosedAt == null)
            .Select(p => new ProjectRow(p.Id, p.Name, p.Rules, p.PublicName)).ToDictionaryAsync(p => p.Id, cancellation);
        WantedSheet sheet = new()
        {
            GuildName = guild.Name,
            GuildAddress = guild.Address,
            IsPublic = guild.WantedIsPublic,
            AsOf = wanted.AsOf,
            IsRunning = wanted.IsRunning,
            Lines = [.. wanted.Lines.Select(line => Line(line, open, forEverybody)).Where(line => line.For.Count > 0).Take(MostLines)],
            Rules = Rules(open.Values, forEverybody),
        };
        return forEverybody ? sheet : await ForMembersAsync(db, sheet, cancellation);
    }

    /// <summary>Without the pieces of projects that were closed since.</summary>
    private static WantedLine Line(WantedYarnLine line, Dictionary<Guid, ProjectRow> open, bool forEverybody)
    {
        IEnumerable<WantedFor> pieces = line.Pieces
            .Where(piece => piece.ProjectId is null || open.ContainsKey(piece.ProjectId.Value))
            .Select(piece => For(piece, piece.ProjectId is { } id ? open[id] : null, forEverybody))
            .GroupBy(piece => (piece.Piece, piece.ProjectId, piece.PublicName))
            .Select(same => same.First() with { Missing = same.Sum(piece => piece.Missing) });
        return new WantedLine(line.WeightClasses, line.Family, line.Metres, line.Grams is { } grams ? (long)(grams * 1000m) : null, [.. pieces]);
    }

    private static WantedFor For(WantedYarnPiece piece, ProjectRow? project, bool forEverybody) => project switch
    {
        null => new(piece.Piece, piece.Missing, null, null, null),
        { PublicName: null } when forEverybody => new(piece.Piece, piece.Missing, null, null, null),
        _ => new(piece.Piece, piece.Missing, project.Name, forEverybody ? null : project.Id, project.PublicName),
    };

    private static IReadOnlyList<WantedRules> Rules(IEnumerable<ProjectRow> projects, bool forEverybody) =>
    [
        .. projects.Where(p => p.Rules != RecipientRules.None)
            .Select(p => new WantedRules(forEverybody && p.PublicName is null ? null : p.Name, p.Rules))
            .Distinct().OrderBy(r => r.Project is null).ThenBy(r => r.Project, StringComparer.CurrentCulture).ThenBy(r => r.Rules),
    ];

    /// <summary>As they are at this moment, whether anything was reckoned or not.</summary>
    private static async Task<WantedSheet> ForMembersAsync(GuildDbContext db, WantedSheet sheet, CancellationToken cancellation)
    {
        var unsaid = db.WantedPieces.Where(w => w.PieceId == null).Join(db.Projects.Where(p => p.ClosedAt == null), w => w.ProjectId, p => p.Id, (w, p) => new { Wanted = w, Project = p });
        int count = await unsaid.CountAsync(cancellation);
        List<UnsaidPiece> first = count == 0 ? [] : await unsaid.OrderBy(u => u.Project.Name).ThenBy(u => u.Project.Id).ThenBy(u => u.Wanted.Position).Take(MostUnsaid)
            .Select(u => new UnsaidPiece(u.Project.Id, u.Project.Name, u.Wanted.Id, u.Wanted.Name, u.Wanted.Wanted)).ToListAsync(cancellation);
        List<PublicDrive> drives = await db.Projects.Where(p => p.ClosedAt == null && p.PublicName != null).OrderBy(p => p.Name).ThenBy(p => p.Id).Take(MostDrives)
            .Select(p => new PublicDrive(p.Name, p.PublicName!)).ToListAsync(cancellation);
        return sheet with { Unsaid = first, UnsaidCount = count, Drives = drives };
    }
}
