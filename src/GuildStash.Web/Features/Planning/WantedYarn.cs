using GuildStash.Data;
using GuildStash.Data.Projects;
using GuildStash.Domain.Colours;
using GuildStash.Domain.WeightClasses;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Planning;

/// <summary>What the open projects lack; it names nobody.</summary>
/// <param name="AsOf">When the plan behind it was asked; null where none has been made yet.</param>
/// <param name="IsRunning">A newer one is being sought or waits.</param>
/// <param name="Unplanned">Wanted pieces for which nothing could be planned.</param>
public sealed record WantedYarn(DateTimeOffset? AsOf, bool IsRunning, IReadOnlyList<WantedYarnLine> Lines, IReadOnlyList<WantedGap> Unplanned);

/// <summary>Yarn of one kind that is missing.</summary>
/// <param name="WeightClasses">Any of these; empty where a window of lengths decides.</param>
/// <param name="Family">Null where any colour will do.</param>
/// <param name="Metres">Of all strands of all missing pieces.</param>
/// <param name="Grams">About what that weighs; null where no class is named.</param>
public sealed record WantedYarnLine(
    IReadOnlyList<WeightClass> WeightClasses, ColourFamily? Family, double Metres, decimal? Grams, IReadOnlyList<WantedYarnPiece> Pieces);

/// <param name="Project">Null for pieces that are of no project.</param>
/// <param name="Missing">How many could not be planned.</param>
public sealed record WantedYarnPiece(string Piece, string? Project, Guid? ProjectId, int Missing);

/// <summary>Reads what is wanted from the newest plan for all open projects that ended with an answer.</summary>
internal static class WantedYarns
{
    private static readonly PlanState[] s_open = [PlanState.Waiting, PlanState.Running];

    /// <summary>Plans for all open projects that ended with an answer.</summary>
    public static IQueryable<Plan> Answered(GuildDbContext db) => db.Plans.AsNoTracking().Where(p => p.Purpose == PlanPurpose.Wanted && p.Answer != null && !s_open.Contains(p.State));

    public static async Task<WantedYarn> ReadAsync(GuildDbContext db, CancellationToken cancellation)
    {
        bool isRunning = await db.Plans.AnyAsync(p => p.Purpose == PlanPurpose.Wanted && s_open.Contains(p.State), cancellation);
        var newest = await Answered(db).OrderByDescending(p => p.CreatedAt).ThenByDescending(p => p.Id)
            .Select(p => new { p.CreatedAt, p.StartedAt, p.Answer }).FirstOrDefaultAsync(cancellation);
        if (newest is null)
        {
            return new(null, isRunning, [], []);
        }

        PlanResult result = PlanJson.Read<PlanResult>(newest.Answer!);
        return new(newest.StartedAt ?? newest.CreatedAt, isRunning, Lines(result), result.Unplanned);
    }

    /// <summary>Shortages of the same classes and family together, the longest first.</summary>
    public static IReadOnlyList<WantedYarnLine> Lines(PlanResult result)
    {
        Dictionary<string, PlannedPiece> pieces = result.Made.ToDictionary(each => each.Name);
        return [.. result.Shortages
            .GroupBy(each => (Classes: string.Join(' ', each.WeightClasses.Order()), each.Family))
            .Select(same => new WantedYarnLine(
                [.. same.First().WeightClasses.Order()],
                same.Key.Family,
                same.Sum(each => each.Metres),
                same.All(each => each.Mg is not null) ? same.Sum(each => each.Mg!.Value) / 1000m : null,
                [.. same.GroupBy(each => each.Piece).Select(kind => new WantedYarnPiece(
                    pieces[kind.Key].Label, pieces[kind.Key].ProjectName, pieces[kind.Key].ProjectId, kind.Max(each => each.Missing)))]))
            .OrderByDescending(line => line.Metres)];
    }
}
