using GuildStash.Data;
using GuildStash.Data.Guild;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Sorting;

/// <summary>
/// Learns from all lots that teach, in the order in which they were logged, and stores the sums. Which row a lot counts to depends on
/// all the others, so that nothing is added to old sums: what is stored is always what a full computation gives.
/// </summary>
public static class RoomLearning
{
    /// <summary>Lots that teach. One that was taken back into its bag was entered by mistake, and teaches nothing.</summary>
    public static IQueryable<Lot> Teachers(GuildDbContext db, DateTimeOffset? since) => db.Lots.AsNoTracking()
        .Where(l => l.WrapsCount != null && l.Texture == Texture.Smooth && (l.BandMetres != null || l.SampleMetres != null))
        .Where(l => since == null || l.CreatedAt > since)
        .Where(l => l.ClosedAt == null || db.Movements.Any(m => m.LotId == l.Id && m.Reason != MovementReason.Sorted && m.Reason != MovementReason.EnteredByMistake));

    public static async Task<YardageLearning> LearnAsync(GuildDbContext db, WeightClassTable table, DateTimeOffset? since, CancellationToken cancellation)
    {
        List<Lot> lots = await Teachers(db, since).OrderBy(l => l.Id).ToListAsync(cancellation);
        return YardageLearning.From(lots.Select(LotTraitsOf.Evidence), table);
    }

    /// <summary>Puts what the lots teach now into the settings, for a change after which all lots are computed anew.</summary>
    public static async Task LearnIntoAsync(GuildDbContext db, YardageSettings settings, WeightClassTable table, CancellationToken cancellation)
    {
        (settings.LearntLots, settings.LearntUpTo) = await MarkAsync(db, settings.LearnSince, cancellation);
        settings.LearntTable = table.Version;
        settings.LearntSums = GuildYardage.SumsOf(await LearnAsync(db, table, settings.LearnSince, cancellation));
        settings.EditionSums = settings.LearntSums;
        settings.Edition++;
    }

    /// <summary>Stores what the lots teach now, unless no lot changed since the last time.</summary>
    /// <returns>Whether something was stored.</returns>
    public static async Task<bool> RenewAsync(GuildDbContext db, CancellationToken cancellation)
    {
        YardageSettings? settings = await db.Yardage.AsNoTracking().SingleOrDefaultAsync(cancellation);
        if (settings is null)
        {
            return false;
        }

        WeightClassTable table = await GuildYardage.TableAsync(db, cancellation);
        (int lots, DateTimeOffset? upTo) = await MarkAsync(db, settings.LearnSince, cancellation);
        if (settings.LearntTable == table.Version && settings.LearntLots == lots && settings.LearntUpTo == upTo)
        {
            return false;
        }

        YardageLearning learnt = await LearnAsync(db, table, settings.LearnSince, cancellation);
        List<double> sums = GuildYardage.SumsOf(learnt);
        bool isNewEdition = settings.UseLearnt && learnt.IsNoticeablyOtherThan(GuildYardage.LearningOf(settings.LearntTable, settings.EditionSums));
        List<double> edition = isNewEdition ? sums : settings.EditionSums;

        // Somebody who changed the settings meanwhile goes first; the next round learns by theirs.
        return await db.Yardage.Where(y => y.Stamp == settings.Stamp).ExecuteUpdateAsync(
            set => set
                .SetProperty(y => y.LearntTable, table.Version)
                .SetProperty(y => y.LearntSums, sums)
                .SetProperty(y => y.EditionSums, edition)
                .SetProperty(y => y.LearntLots, lots)
                .SetProperty(y => y.LearntUpTo, upTo)
                .SetProperty(y => y.Edition, y => y.Edition + (isNewEdition ? 1 : 0))
                .SetProperty(y => y.Stamp, y => y.Stamp + (y.UseLearnt ? 1 : 0)),
            cancellation) > 0;
    }

    /// <summary>By which it is seen whether a lot that teaches was added, changed or taken back.</summary>
    private static async Task<(int Lots, DateTimeOffset? UpTo)> MarkAsync(GuildDbContext db, DateTimeOffset? since, CancellationToken cancellation)
    {
        IQueryable<Lot> teachers = Teachers(db, since);
        return (await teachers.CountAsync(cancellation), await teachers.MaxAsync(l => (DateTimeOffset?)l.ChangedAt, cancellation));
    }
}
