using GuildStash.Data.Counting;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Counting;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Counting;

/// <summary>A count under way.</summary>
/// <param name="Found">What was entered so far: milligrams by the lot's code, 0 where it is not there.</param>
/// <param name="MayEnd">The reader may end it without a result.</param>
public sealed record RunningCountView(
    Guid Id, string BinDisplay, string BegunBy, bool IsMine, bool MayEnd, DateTimeOffset BegunAt, DateTimeOffset LapsesAt, CountWay Way, Guid? ScaleId, long? GrossMg, IReadOnlyDictionary<string, long> Found);

/// <summary>What a page needs to count a bin.</summary>
/// <param name="Running">Null where nobody counts it.</param>
/// <param name="TareMg">What the empty bin weighs; null where nobody noted it.</param>
public sealed record CountDesk(RunningCountView? Running, long? TareMg);

/// <summary>One count of the past.</summary>
public sealed record PastCount
{
    public required Guid Id { get; init; }

    public required string BinCode { get; init; }

    public required string BinName { get; init; }

    public required DateTimeOffset BegunAt { get; init; }

    public DateTimeOffset? EndedAt { get; init; }

    public required string By { get; init; }

    public required CountWay Way { get; init; }

    public required CountOutcome Outcome { get; init; }

    public int Lots { get; init; }

    public long? BookMg { get; init; }

    public long? FoundMg { get; init; }

    public long? ToleranceMg { get; init; }

    public long? DifferenceMg => FoundMg - BookMg;

    public string BinDisplay => BinCodes.Display(BinCode);
}

internal static class BinCodes
{
    public static string Display(string code) => BinCode.Parse(code).Value.Display;
}

/// <summary>Reads counts: the one under way and those of the past.</summary>
public sealed class CountReader(GuildWork work)
{
    /// <summary>The count under way, and the bin's tare.</summary>
    public Task<Outcome<CountDesk>> DeskAsync(Guid by, string binCode, CancellationToken cancellation) =>
        work.ReadAsync<CountDesk>(by, Role.Volunteer, async act =>
        {
            Bin? bin = await act.Db.Bins.SingleOrDefaultAsync(b => b.Code == binCode, act.Cancellation);
            return bin is null
                ? Refusal.NotFound("There is no bin {0}. Check the label.", binCode)
                : new CountDesk(await RunningAsync(act, bin), bin.TareMg);
        }, cancellation);

    /// <summary>Counts of one bin, the latest first.</summary>
    public Task<Outcome<PageOf<PastCount>>> OfBinAsync(Guid by, string binCode, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<PastCount>>(by, Role.Volunteer, async act => page.Wrong() is { } wrong
            ? wrong
            : await Past(act, act.Db.BinCounts.Where(c => c.Bin.Code == binCode && c.EndedAt != null)).PageAsync(page, act.Cancellation), cancellation);

    /// <summary>All counts, the latest first, one after the other.</summary>
    /// <param name="binCode">Null: of all bins.</param>
    /// <returns>How many there were.</returns>
    public Task<Outcome<int>> EachAsync(Guid by, string? binCode, Func<PastCount, ValueTask> take, CancellationToken cancellation) =>
        work.ReadAsync<int>(by, Role.Volunteer, async act =>
        {
            int all = 0;
            await foreach (PastCount count in Past(act, act.Db.BinCounts.Where(c => c.EndedAt != null && (binCode == null || c.Bin.Code == binCode))).AsAsyncEnumerable().WithCancellation(act.Cancellation))
            {
                await take(count);
                all++;
            }

            return all;
        }, cancellation);

    private static IQueryable<PastCount> Past(Act act, IQueryable<BinCount> counts) =>
        counts.OrderByDescending(c => c.BegunAt).ThenByDescending(c => c.Id).Select(c => new PastCount
        {
            Id = c.Id,
            BinCode = c.Bin.Code,
            BinName = c.Bin.Name,
            BegunAt = c.BegunAt,
            EndedAt = c.EndedAt,
            By = act.Db.People.Where(p => p.Id == c.BegunById).Select(p => p.DisplayName).First(),
            Way = c.Way,
            Outcome = c.Outcome,
            Lots = c.Lots,
            BookMg = c.BookMg,
            FoundMg = c.FoundMg,
            ToleranceMg = c.ToleranceMg,
        });

    private static async Task<RunningCountView?> RunningAsync(Act act, Bin bin)
    {
        if (await RunningCounts.OfBinAsync(act, bin.Id) is not { } count)
        {
            return null;
        }

        RunningCount rule = await RunningCounts.RuleViewAsync(act, count, bin);
        Dictionary<string, long> found = await act.Db.BinCountLines.Where(l => l.CountId == count.Id).Select(l => new { l.Lot.Code, l.FoundMg }).ToDictionaryAsync(l => l.Code, l => l.FoundMg, act.Cancellation);
        return new RunningCountView(
            count.Id, rule.BinCode, rule.BegunBy, count.BegunById == act.By.Id, CountRules.MayEnd(rule, act.By.Id, act.By.Role) is null,
            count.BegunAt, count.LapsesAt, count.Way, count.ScaleId, count.GrossMg, found);
    }
}
