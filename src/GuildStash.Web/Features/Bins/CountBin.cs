using GuildStash.Data.Counting;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Counting;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Counting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Bins;

/// <summary>What the scale shows for one lot of the bin; null where it was not found.</summary>
public sealed record CountedLot(string LotCode, decimal? Grams);

/// <summary>One line of a count: what the books had, what was found, and what came of it.</summary>
public sealed record CountedLine(string LotCode, long BookMg, long FoundMg, CountOutcome Outcome);

public sealed record CountedBin(string BinCode, IReadOnlyList<CountedLine> Lines);

/// <summary>
/// A count in one go, begun, compared and ended in one transaction: the lots are locked, so nothing has to be frozen. Differences within
/// their tolerance are booked, those beyond wait for a second person.
/// </summary>
public sealed class CountBin(GuildWork work)
{
    public Task<Outcome<CountedBin>> RunAsync(Guid by, string? binCode, IReadOnlyList<CountedLot> counted, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => CountAsync(act, binCode, counted), cancellation);

    /// <summary>What counting would do, without doing it.</summary>
    public Task<Outcome<CountedBin>> CompareAsync(Guid by, string? binCode, IReadOnlyList<CountedLot> counted, CancellationToken cancellation) =>
        work.ReadAsync<CountedBin>(by, Role.Volunteer, async act =>
        {
            Outcome<Bin> bin = await BinFinder.ByCodeAsync(act, binCode, "binCode");
            if (!bin.IsOk)
            {
                return Outcome<CountedBin>.Refused(bin.Refusals);
            }

            Outcome<List<ComparedLot>> compared = await CompareAsync(act, counted, await Weighed(act, bin.Value).Include(l => l.Bin).ToListAsync(act.Cancellation));
            return compared.IsOk ? Answer(bin.Value, compared.Value) : Outcome<CountedBin>.Refused(compared.Refusals);
        }, cancellation);

    private static async Task<Outcome<CountedBin>> CountAsync(Act act, string? binCode, IReadOnlyList<CountedLot> counted)
    {
        Outcome<Bin> found = await BinFinder.ByCodeAsync(act, binCode, "binCode");
        if (!found.IsOk)
        {
            return Outcome<CountedBin>.Refused(found.Refusals);
        }

        Bin bin = found.Value;
        List<Guid> ids = await Weighed(act, bin).Select(l => l.Id).ToListAsync(act.Cancellation);
        List<Lot> lots = [.. (await LotLock.TakeAsync(act.Db, ids, act.Cancellation)).Where(l => l.BinId == bin.Id && l.ClosedAt is null)];
        if (await RunningCounts.OfBinAsync(act, bin.Id) is { } running)
        {
            return await RunningCounts.FrozenAsync(act, running, bin);
        }

        Outcome<List<ComparedLot>> compared = await CompareAsync(act, counted, lots);
        if (!compared.IsOk)
        {
            return Outcome<CountedBin>.Refused(compared.Refusals);
        }

        return await SettleAsync(act, bin, compared.Value) is { } refusal ? refusal : Answer(bin, compared.Value);
    }

    private static async Task<Refusal?> SettleAsync(Act act, Bin bin, List<ComparedLot> compared)
    {
        BinCount count = new() { BinId = bin.Id, BegunAt = act.Now, BegunById = act.By.Id, LapsesAt = CountRules.LapsesAt(act.Now) };
        CountBooking.End(act, count);
        (count.Outcome, count.BookMg, count.FoundMg, count.ToleranceMg) = (CountOutcome.Agrees, 0, 0, 0);
        act.Db.BinCounts.Add(count);
        return await CountBooking.SettleAsync(act, count, bin, compared, null);
    }

    private static CountedBin Answer(Bin bin, List<ComparedLot> compared) => new(bin.Code, [.. compared.Select(c => new CountedLine(c.Lot.Code, c.BookMg, c.FoundMg, c.Outcome))]);

    private static IQueryable<Lot> Weighed(Act act, Bin bin) => act.Db.Lots.Where(l => l.BinId == bin.Id && l.ClosedAt == null && l.MassKnown);

    private static async Task<Outcome<List<ComparedLot>>> CompareAsync(Act act, IReadOnlyList<CountedLot> counted, List<Lot> lots)
    {
        Check check = new();
        Dictionary<Guid, string> fields = [];
        List<(Lot Lot, long FoundMg)> found = [];
        for (int i = 0; i < counted.Count; i++)
        {
            string field = $"lots[{i}]";
            Outcome<LotCode> code = LotCode.Parse(counted[i].LotCode);
            if (!code.IsOk)
            {
                check.Add(code.Refusal with { Field = field });
                continue;
            }

            Outcome<Mass> mass = counted[i].Grams is { } grams and not 0 ? MassLimits.LotMass(grams, field) : Mass.Zero;
            Mass shown = check.Take(mass);
            Lot? lot = lots.SingleOrDefault(l => l.Code == code.Value.Value);
            check.That(lot is not null, field, "Lot {0} is not in this bin by the books, or was never weighed. Put it here or weigh it first, then count.", code.Value.Display);
            check.That(lot is null || fields.TryAdd(lot.Id, field), field, "Lot {0} is there twice. Count it once, with all its balls.", code.Value.Display);
            if (lot is not null && mass.IsOk && fields[lot.Id] == field)
            {
                found.Add((lot, shown.Milligrams));
            }
        }

        foreach (Refusal promised in await FinishCount.PromisedAsync(act, found))
        {
            Guid lot = found.First(f => promised.Field == $"count-{f.Lot.Code}").Lot.Id;
            check.Add(promised with { Field = fields[lot] });
        }

        return check.Failed ? check.Refuse<List<ComparedLot>>() : await CountFigures.OfLotsAsync(act, found, null);
    }
}
