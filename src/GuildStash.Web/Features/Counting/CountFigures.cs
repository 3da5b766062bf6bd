using GuildStash.Data.Counting;
using GuildStash.Data.Guild;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Counting;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Counting;

/// <summary>One lot against the books.</summary>
/// <param name="Variances">Of books, weighing and counting, with the difference.</param>
internal sealed record ComparedLot(Lot Lot, long BookMg, long FoundMg, long ToleranceMg, CountedDifference Variances, DriftSum Drift, CountOutcome Outcome)
{
    public long DifferenceMg => FoundMg - BookMg;
}

/// <summary>A whole bin against the books.</summary>
internal sealed record ComparedBin(int Lots, long BookMg, long FoundMg, long ToleranceMg, CountedDifference Variances, DriftSum Drift, CountOutcome Outcome);

/// <summary>What counts are compared with: the books, the weighings in them, and the counts before. A handful of questions for any number of lots.</summary>
internal static class CountFigures
{
    /// <summary>Counts that are looked back on for drift.</summary>
    private const int LookedBack = 50;

    private static readonly CountOutcome[] InTheBooks = [CountOutcome.Agrees, CountOutcome.Booked, CountOutcome.Approved];

    private sealed record LotVariance(Guid LotId, double Variance);

    public static async Task<List<ComparedLot>> OfLotsAsync(Act act, IReadOnlyList<(Lot Lot, long FoundMg)> found, long? divisionMg)
    {
        Lot[] lots = [.. found.Select(f => f.Lot)];
        int moisture = await MoistureAsync(act);
        IReadOnlyDictionary<Guid, long> books = await LotPlace.InOwnBinMgAsync(act, lots);
        Dictionary<Guid, double> variances = await BookVariancesAsync(act, lots);
        ILookup<Guid, CountedDifference> before = await BeforeAsync(act, [.. lots.Select(l => l.Id)]);
        return [.. found.Select(f => Compare(f.Lot, books[f.Lot.Id], f.FoundMg, new Known(variances[f.Lot.Id], divisionMg, [.. before[f.Lot.Id]], moisture)))];
    }

    private sealed record Known(double BookVariance, long? DivisionMg, IReadOnlyList<CountedDifference> Before, int Moisture);

    private static ComparedLot Compare(Lot lot, long book, long found, Known known)
    {
        CountedDifference now = new(found - book, known.BookVariance, CountTolerance.Weighing(known.DivisionMg), CountTolerance.Counting(1));
        long tolerance = CountTolerance.Of(now.BookVariance + now.FoundVariance + now.CountingVariance, book, known.Moisture);
        DriftSum drift = CountDrift.OfBooked([.. known.Before, now], book, known.Moisture);
        return new ComparedLot(lot, book, found, tolerance, now, drift, CountRules.OfLot(found - book, tolerance, drift));
    }

    /// <summary>The bin with all that is in it by the books, leftovers that wait there for an inspection included.</summary>
    public static async Task<Outcome<ComparedBin>> OfBinAsync(Act act, Bin bin, IReadOnlyList<Lot> lots, long netMg, long? divisionMg)
    {
        int unweighed = lots.Count(l => !l.MassKnown);
        if (unweighed > 0)
        {
            return Refusal.Conflict("mass-unknown", "{0} lots in bin {1} were never weighed, so the books don't know what the whole bin should weigh. Weigh them, or count lot by lot.", unweighed, BinCode.Parse(bin.Code).Value.Display);
        }

        int moisture = await MoistureAsync(act);
        long[] leftovers = await act.Db.LotReturns.Where(r => r.QuarantineBinId == bin.Id && r.SettledAt == null).Select(r => r.Mg).ToArrayAsync(act.Cancellation);
        long book = (await LotPlace.InOwnBinMgAsync(act, lots)).Values.Sum() + leftovers.Sum();
        double variance = (await BookVariancesAsync(act, lots)).Values.Sum() + (leftovers.Length * CountTolerance.Weighing(null));
        CountedDifference now = new(netMg - book, variance, CountTolerance.Weighing(divisionMg, bin.TareDivisionMg), CountTolerance.Counting(lots.Count + leftovers.Length));
        long tolerance = CountTolerance.Of(now.BookVariance + now.FoundVariance + now.CountingVariance, book, moisture);
        DriftSum drift = CountDrift.OfUnbooked([.. await WholeBeforeAsync(act, bin.Id), now], book, moisture);
        return new ComparedBin(lots.Count, book, netMg, tolerance, now, drift, CountRules.OfBin(netMg - book, tolerance, drift));
    }

    private static Task<int> MoistureAsync(Act act) => act.Db.Guilds.Select(g => g.CountMoisturePerMille).SingleAsync(act.Cancellation);

    /// <summary>d²/6 of the weighing that the lot's mass rests on, and of each that was taken off or added since its last count.</summary>
    private static async Task<Dictionary<Guid, double>> BookVariancesAsync(Act act, IReadOnlyCollection<Lot> lots)
    {
        Guid[] ids = [.. lots.Select(l => l.Id)];
        long unknown = CountTolerance.UnknownDivisionMg;
        Dictionary<Guid, double> since = await act.Db.Database.SqlQuery<LotVariance>(
            $"""
             select l.id as lot_id, coalesce(sum(power(coalesce(m.scale_division_mg, {unknown})::float8, 2) / 6) filter (where m.id is not null), 0) as variance
             from lot l
             left join lateral (
                 select max(c.ended_at) as at from bin_count_line n join bin_count c on c.id = n.count_id
                 where n.lot_id = l.id and n.outcome in ('Agrees', 'Booked', 'Approved')) k on true
             left join movement m on m.lot_id = l.id and m.reason in ('HandedOver', 'Returned', 'WrittenOff') and m.at > coalesce(k.at, '-infinity')
             where l.id = any({ids}) group by l.id
             """).ToDictionaryAsync(v => v.LotId, v => v.Variance, act.Cancellation);
        return lots.ToDictionary(l => l.Id, l => CountTolerance.Weighing(l.ScaleDivisionMg) + since.GetValueOrDefault(l.Id));
    }

    /// <summary>A lot's counts since the last one that a second person approved, the oldest first.</summary>
    private static async Task<ILookup<Guid, CountedDifference>> BeforeAsync(Act act, Guid[] ids)
    {
        List<BinCountLine> lines = await act.Db.BinCountLines.AsNoTracking()
            .Where(l => ids.Contains(l.LotId) && InTheBooks.Contains(l.Outcome))
            .OrderByDescending(l => l.Count.EndedAt).Take(ids.Length * LookedBack).ToListAsync(act.Cancellation);
        return lines.GroupBy(l => l.LotId)
            .SelectMany(lot => lot.TakeWhile(l => l.Outcome != CountOutcome.Approved).Reverse())
            .ToLookup(l => l.LotId, l => new CountedDifference(l.FoundMg - l.BookMg!.Value, l.BookVariance!.Value, l.FoundVariance!.Value, l.CountingVariance!.Value));
    }

    /// <summary>Counts of the whole bin that agreed, since it was last counted lot by lot; the oldest first.</summary>
    private static async Task<IEnumerable<CountedDifference>> WholeBeforeAsync(Act act, Guid binId)
    {
        CountOutcome[] settled = [.. InTheBooks, CountOutcome.Asked];
        List<BinCount> counts = await act.Db.BinCounts.AsNoTracking()
            .Where(c => c.BinId == binId && settled.Contains(c.Outcome)).OrderByDescending(c => c.EndedAt).Take(LookedBack).ToListAsync(act.Cancellation);
        return counts.TakeWhile(c => c.Way == CountWay.WholeBin).Reverse()
            .Select(c => new CountedDifference(c.FoundMg!.Value - c.BookMg!.Value, c.BookVariance!.Value, c.FoundVariance!.Value, c.CountingVariance!.Value));
    }
}
