using GuildStash.Data;
using GuildStash.Data.Stock;
using GuildStash.Domain.Yardage;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace GuildStash.Web.Features.Sorting;

/// <summary>
/// After an upgrade of the arithmetic, computes the figures of all lots anew from the evidence they keep, some hundred at a time, while
/// people work. Holds keep their grams. Several nodes may do it at once: the same evidence gives the same figures.
/// </summary>
public sealed partial class RecomputeJob(IDbContextFactory<GuildDbContext> contexts, ILogger<RecomputeJob> log) : BackgroundService
{
    private const int AtATime = 500;

    /// <returns>How many lots got new figures.</returns>
    public static async Task<int> RunAsync(IDbContextFactory<GuildDbContext> contexts, CancellationToken cancellation)
    {
        int done = 0;
        while (true)
        {
            await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
            List<Lot> lots = await db.Lots.Where(l => l.ModelVersion != YardageEstimator.ModelVersion).OrderBy(l => l.Id).Take(AtATime).ToListAsync(cancellation);
            if (lots.Count == 0)
            {
                return done;
            }

            lots.ForEach(LotFields.Compute);
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
        try
        {
            int done = await RunAsync(contexts, stoppingToken);
            if (done > 0)
            {
                LogDone(done, YardageEstimator.ModelVersion);
            }
        }
        catch (Exception exception) when (exception is NpgsqlException or InvalidOperationException && !stoppingToken.IsCancellationRequested)
        {
            LogLeft(exception);
        }
    }

    [LoggerMessage(LogLevel.Information, "{Lots} lots got figures of the model {Model}")]
    private partial void LogDone(int lots, string model);

    [LoggerMessage(LogLevel.Warning, "Figures of an older model could not be computed anew; the next start tries again")]
    private partial void LogLeft(Exception exception);
}
