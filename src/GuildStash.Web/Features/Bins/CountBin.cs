using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Bins;

/// <summary>What the scale shows for one lot of the bin; null where it was not found.</summary>
public sealed record CountedLot(string LotCode, decimal? Grams);

/// <summary>One line of a count: what the books had and what was found.</summary>
public sealed record CountedLine(string LotCode, long BookMg, long FoundMg);

public sealed record CountedBin(string BinCode, IReadOnlyList<CountedLine> Lines);

/// <summary>Counts a bin lot by lot against weight and books the differences; a lot that is promised can't be counted below what is promised.</summary>
public sealed class CountBin(GuildWork work)
{
    public Task<Outcome<CountedBin>> RunAsync(Guid by, string? binCode, IReadOnlyList<CountedLot> counted, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => CountAsync(act, binCode, counted), cancellation);

    /// <summary>What counting would book, without booking it.</summary>
    public Task<Outcome<CountedBin>> CompareAsync(Guid by, string? binCode, IReadOnlyList<CountedLot> counted, CancellationToken cancellation) =>
        work.ReadAsync<CountedBin>(by, Role.Volunteer, async act =>
        {
            Outcome<Bin> bin = await BinFinder.ByCodeAsync(act, binCode, "binCode");
            if (!bin.IsOk)
            {
                return Outcome<CountedBin>.Refused(bin.Refusals);
            }

            Check check = new();
            List<CountedLine> lines = await CompareAsync(act, counted, await Weighed(act, bin.Value).ToListAsync(act.Cancellation), check);
            return check.Failed ? check.Refuse<CountedBin>() : new CountedBin(bin.Value.Code, lines);
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
        Check check = new();
        List<CountedLine> lines = await CompareAsync(act, counted, lots, check);
        if (check.Failed)
        {
            return check.Refuse<CountedBin>();
        }

        foreach (CountedLine line in lines.Where(l => l.BookMg != l.FoundMg))
        {
            Book(act, bin, lots.Single(l => l.Code == line.LotCode), line);
        }

        bin.LastCountedAt = act.Now;
        await act.Db.SaveChangesAsync(act.Cancellation);
        foreach (CountedLine line in lines.Where(l => l.FoundMg == 0))
        {
            await LotClosing.CloseIfEmptyAsync(act, lots.Single(l => l.Code == line.LotCode));
        }

        return new CountedBin(bin.Code, lines);
    }

    private static IQueryable<Lot> Weighed(Act act, Bin bin) => act.Db.Lots.Where(l => l.BinId == bin.Id && l.ClosedAt == null && l.MassKnown);

    private static async Task<List<CountedLine>> CompareAsync(Act act, IReadOnlyList<CountedLot> counted, List<Lot> lots, Check check)
    {
        IReadOnlyDictionary<Guid, long> here = await LotPlace.InOwnBinMgAsync(act, lots);
        List<CountedLine> lines = [];
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
            Mass found = check.Take(mass);
            Lot? lot = lots.SingleOrDefault(l => l.Code == code.Value.Value);
            check.That(lot is not null, field, "Lot {0} is not in this bin by the books, or was never weighed. Put it here or weigh it first, then count.", code.Value.Display);
            check.That(lines.All(line => line.LotCode != lot?.Code), field, "Lot {0} is there twice. Count it once, with all its balls.", code.Value.Display);
            if (lot is null || !mass.IsOk)
            {
                continue;
            }

            check.That(found.Milligrams >= lot.HeldMg, field, "{0} g of lot {1} are promised to members, more than was found. Cancel or shorten a hold first.", lot.HeldMg / 1000m, code.Value.Display);
            lines.Add(new CountedLine(lot.Code, here[lot.Id], found.Milligrams));
        }

        return lines;
    }

    private static void Book(Act act, Bin bin, Lot lot, CountedLine line)
    {
        Place here = Place.Bin(bin.Id, bin.IsQuarantine);
        long difference = line.FoundMg - line.BookMg;
        MovementDraft draft = difference > 0
            ? MovementDraft.Create(Place.Adjustment, here, difference, MovementReason.Counted)
            : MovementDraft.Create(here, line.FoundMg == 0 ? Place.Lost : Place.Adjustment, -difference, line.FoundMg == 0 ? MovementReason.GoneMissing : MovementReason.Counted);
        act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now));
    }
}
