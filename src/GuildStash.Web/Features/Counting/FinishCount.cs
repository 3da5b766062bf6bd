using GuildStash.Data.Counting;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Counting;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Counting;

/// <summary>A lot of a count beside the books.</summary>
/// <param name="Outcome">What becomes of the difference.</param>
/// <param name="DriftMg">What the lot's counts add up to, this one included; null for the first one.</param>
/// <param name="IsDrift">It is for their sum, not for this difference, that a second person is asked.</param>
public sealed record CountedLotView(string LotCode, long BookMg, long FoundMg, long ToleranceMg, CountOutcome Outcome, long? DriftMg, bool IsDrift)
{
    internal static CountedLotView Of(ComparedLot c) => new(
        c.Lot.Code, c.BookMg, c.FoundMg, c.ToleranceMg, c.Outcome, c.Drift.Counts > 1 ? c.Drift.SumMg : null, c.Outcome == CountOutcome.Asked && Math.Abs(c.DifferenceMg) <= c.ToleranceMg);
}

/// <summary>A count beside the books, before or after it was ended.</summary>
/// <param name="Lots">Empty where the whole bin was weighed.</param>
/// <param name="IsDrift">Whole bin: the sum of its counts is beyond what it may be, this difference is not.</param>
public sealed record CountResult(
    CountWay Way, CountOutcome Outcome, long BookMg, long FoundMg, long ToleranceMg, IReadOnlyList<CountedLotView> Lots, long? DriftMg = null, bool IsDrift = false);

/// <summary>Holds a count against the books, and ends it.</summary>
public sealed class FinishCount(GuildWork work)
{
    /// <summary>What ending the count would do, without doing it.</summary>
    public Task<Outcome<CountResult>> CompareAsync(Guid by, Guid countId, CancellationToken cancellation) =>
        work.ReadAsync<CountResult>(by, Role.Volunteer, async act =>
        {
            BinCount? count = await act.Db.BinCounts.Include(c => c.Bin).Include(c => c.Lines).SingleOrDefaultAsync(c => c.Id == countId && c.EndedAt == null, act.Cancellation);
            if (count is null)
            {
                return Refusal.NotFound("There is no such count.");
            }

            List<Lot> lots = await Here(act, count.BinId).Include(l => l.Bin).ToListAsync(act.Cancellation);
            Outcome<Compared> compared = await CompareAsync(act, count, lots);
            return compared.IsOk ? ResultOf(count.Way, compared.Value) : Outcome<CountResult>.Refused(compared.Refusals);
        }, cancellation);

    /// <summary>Ends it: differences within their tolerance are booked, those beyond are put before a second person.</summary>
    public Task<Outcome<CountResult>> RunAsync(Guid by, Guid countId, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => FinishAsync(act, countId), cancellation);

    private sealed record Compared(IReadOnlyList<ComparedLot> Lots, ComparedBin? Bin);

    private static async Task<Outcome<CountResult>> FinishAsync(Act act, Guid countId)
    {
        Outcome<BinCount> mine = await RunningCounts.MineAsync(act, countId);
        if (!mine.IsOk)
        {
            return Outcome<CountResult>.Refused(mine.Refusals);
        }

        BinCount count = mine.Value;
        List<Guid> ids = await Here(act, count.BinId).Select(l => l.Id).ToListAsync(act.Cancellation);
        List<Lot> lots = await LotLock.TakeAsync(act.Db, ids, act.Cancellation);
        Outcome<Compared> compared = await CompareAsync(act, count, lots);
        if (!compared.IsOk)
        {
            return Outcome<CountResult>.Refused(compared.Refusals);
        }

        if (compared.Value.Bin is { } whole)
        {
            Settle(act, count, whole);
            return ResultOf(count.Way, compared.Value);
        }

        Scale? scale = await act.Db.Scales.SingleOrDefaultAsync(s => s.Id == count.ScaleId, act.Cancellation);
        return await CountBooking.SettleAsync(act, count, count.Bin, compared.Value.Lots, scale) is { } refusal ? refusal : ResultOf(count.Way, compared.Value);
    }

    private static IQueryable<Lot> Here(Act act, Guid binId) => act.Db.Lots.Where(l => l.BinId == binId && l.ClosedAt == null);

    private static async Task<Outcome<Compared>> CompareAsync(Act act, BinCount count, List<Lot> lots)
    {
        if (count.Way == CountWay.WholeBin)
        {
            return await CompareWholeAsync(act, count, lots);
        }

        List<(Lot Lot, long FoundMg)> found = [.. lots.Join(count.Lines, lot => lot.Id, line => line.LotId, (lot, line) => (lot, line.FoundMg))];
        if (found.Count == 0)
        {
            return Refusal.Invalid("lots", "Enter the grams of at least one lot, or say that it is not there.");
        }

        if (await PromisedAsync(act, found) is { Count: > 0 } promised)
        {
            return Outcome<Compared>.Refused([.. promised.Select(p => p with { Sentence = new Phrase("{0} What you weighed stays in this count: compare again after that.", p.Sentence) })]);
        }

        return new Compared(await CountFigures.OfLotsAsync(act, found, count.ScaleDivisionMg), null);
    }

    private static async Task<Outcome<Compared>> CompareWholeAsync(Act act, BinCount count, List<Lot> lots)
    {
        string display = BinCode.Parse(count.Bin.Code).Value.Display;
        if (count.Bin.TareMg is not { } tare)
        {
            return Refusal.Invalid("gross", "Nobody noted what bin {0} weighs empty. Note it on the bin's page, or count lot by lot.", display);
        }

        if (count.GrossMg is not { } gross)
        {
            return Refusal.Invalid("gross", "Enter what the scale shows for the whole bin.");
        }

        if (gross < tare)
        {
            return Refusal.Invalid("gross", "{0} is less than the empty bin weighs ({1}). Check the scale, or the bin's tare.", Mass.FromMilligrams(gross), Mass.FromMilligrams(tare));
        }

        Outcome<ComparedBin> bin = await CountFigures.OfBinAsync(act, count.Bin, lots, gross - tare, count.ScaleDivisionMg);
        return bin.IsOk ? new Compared([], bin.Value) : Outcome<Compared>.Refused(bin.Refusals);
    }

    /// <summary>A refusal at each lot of which more is promised than was found, with whose holds those are.</summary>
    internal static async Task<IReadOnlyList<Refusal>> PromisedAsync(Act act, IReadOnlyList<(Lot Lot, long FoundMg)> found)
    {
        Guid[] below = [.. found.Where(f => f.FoundMg < f.Lot.HeldMg).Select(f => f.Lot.Id)];
        IReadOnlyDictionary<Guid, Phrase> holders = await CountBooking.HoldersAsync(act, below);
        return
        [
            .. found.Select(f => CountRules.MayBeFound(f.FoundMg, f.Lot.HeldMg, LotCode.Parse(f.Lot.Code).Value.Display, holders.GetValueOrDefault(f.Lot.Id), $"count-{f.Lot.Code}")).OfType<Refusal>(),
        ];
    }

    private static void Settle(Act act, BinCount count, ComparedBin whole)
    {
        act.Db.BinCountLines.RemoveRange(count.Lines);
        count.TareMg = count.Bin.TareMg;
        (count.Lots, count.BookMg, count.FoundMg, count.ToleranceMg, count.Outcome) = (whole.Lots, whole.BookMg, whole.FoundMg, whole.ToleranceMg, whole.Outcome);
        (count.BookVariance, count.FoundVariance, count.CountingVariance) = (whole.Variances.BookVariance, whole.Variances.FoundVariance, whole.Variances.CountingVariance);
        CountBooking.End(act, count);
        if (whole.Outcome == CountOutcome.Agrees)
        {
            count.Bin.LastCountedAt = act.Now;
        }
    }

    private static CountResult ResultOf(CountWay way, Compared compared) => compared.Bin is { } bin
        ? new CountResult(way, bin.Outcome, bin.BookMg, bin.FoundMg, bin.ToleranceMg, [], bin.Drift.Counts > 1 ? bin.Drift.SumMg : null,
            bin.Outcome == CountOutcome.Differs && Math.Abs(bin.FoundMg - bin.BookMg) <= bin.ToleranceMg)
        : new CountResult(
            way,
            compared.Lots.Any(l => l.Outcome == CountOutcome.Asked) ? CountOutcome.Asked : compared.Lots.Any(l => l.Outcome == CountOutcome.Booked) ? CountOutcome.Booked : CountOutcome.Agrees,
            compared.Lots.Sum(l => l.BookMg), compared.Lots.Sum(l => l.FoundMg), compared.Lots.Sum(l => l.ToleranceMg), [.. compared.Lots.Select(CountedLotView.Of)]);
}
