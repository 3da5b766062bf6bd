using GuildStash.Data;
using GuildStash.Data.Stock;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace GuildStash.Web.Features.Sorting;

/// <summary>
/// Learns from lots that changed, and after a change of the arithmetic, the table or what was learnt computes the figures of all lots
/// anew from the evidence they keep, some hundred at a time, while people work. Holds keep their grams. Each lot says which rules its
/// figures are of, so that an interrupted run goes on where it stopped; several nodes may do it at once: the same evidence gives the
/// same figures.
/// </summary>
public sealed partial class RecomputeJob(IDbContextFactory<GuildDbContext> contexts, GuildYardage yardage, ILogger<RecomputeJob> log) : BackgroundService
{
    private const int AtATime = 500;

    private static readonly TimeSpan s_interval = TimeSpan.FromMinutes(1);

    /// <summary>Lots whose figures are of other rules.</summary>
    public static IQueryable<Lot> Waiting(GuildDbContext db, int edition) =>
        db.Lots.Where(l => l.ModelVersion != YardageEstimator.ModelVersion || l.YardageEdition != edition);

    /// <returns>How many lots got new figures.</returns>
    public static async Task<int> RunAsync(IDbContextFactory<GuildDbContext> contexts, GuildYardage yardage, CancellationToken cancellation)
    {
        await using (GuildDbContext db = await contexts.CreateDbContextAsync(cancellation))
        {
            await RoomLearning.RenewAsync(db, cancellation);
        }

        int done = 0;
        while (true)
        {
            await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
            YardageRules rules = await yardage.ReadAsync(db, cancellation);
            List<Lot> lots = await Waiting(db, rules.Edition).OrderBy(l => l.Id).Take(AtATime).ToListAsync(cancellation);
            if (lots.Count == 0)
            {
                return done;
            }

            lots.ForEach(lot => LotFields.Compute(lot, rules));
            try
            {
                await db.SaveChangesAsync(cancellation);
                done += lots.Count;
            }
            catch (DbUpdateConcurrencyException)
            {
                // Somebody corrected one of them, which computed it anew as well; the next round leaves it out.
            }
        }
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        while (true)
        {
            try
            {
                int done = await RunAsync(contexts, yardage, stoppingToken);
                if (done > 0)
                {
                    LogDone(done, YardageEstimator.ModelVersion, yardage.Now.Table.Version);
                }
            }
            catch (Exception exception) when (!stoppingToken.IsCancellationRequested)
            {
                LogLeft(exception);
            }

            // Woken by this node's changes; other nodes' are found by looking each minute.
            using CancellationTokenSource minute = CancellationTokenSource.CreateLinkedTokenSource(stoppingToken);
            minute.CancelAfter(s_interval);
            try
            {
                await yardage.AwakeAsync(minute.Token);
            }
            catch (OperationCanceledException) when (!stoppingToken.IsCancellationRequested)
            {
                continue;
            }
        }
    }

    [LoggerMessage(LogLevel.Information, "{Lots} lots got figures of the model {Model} and the table {Table}")]
    private partial void LogDone(int lots, string model, string table);

    [LoggerMessage(LogLevel.Warning, "Figures of other rules could not be computed anew; the next round tries again")]
    private partial void LogLeft(Exception exception);
}
