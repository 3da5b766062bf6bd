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

    private static async Task<Outcome<CountedBin>> CountAsync(Act act, string? binCode, IReadOnlyList<CountedLot> counted)
    {
        Outcome<Bin> found = await BinFinder.ByCodeAsync(act, binCode, "binCode");
        if (!found.IsOk)
        {
            return Outcome<CountedBin>.Refused(found.Refusals);
        }

        Bin bin = found.Value;
        List<Guid> ids = await act.Db.Lots.Where(l => l.BinId == bin.Id && l.ClosedAt == null && l.MassKnown).Select(l => l.Id).ToListAsync(act.Cancellation);
        List<Lot> lots = [.. (await LotLock.TakeAsync(act.Db, ids, act.Cancellation)).Where(l => l.BinId == bin.Id && l.ClosedAt is null)];
        Check check = new();
        List<CountedLine> lines = [];
        for (int i = 0; i < counted.Count; i++)
        {
            string field = $"lots[{i}]";
            LotCode code = check.Take(LotCode.Parse(counted[i].LotCode));
            Lot? lot = lots.SingleOrDefault(l => l.Code == code.Value);
            check.That(lot is not null, field, "Lot {0} is not in this bin by the books. Put it here first, then count.", counted[i].LotCode);
            Mass mass = counted[i].Grams is { } grams and not 0 ? check.Take(MassLimits.LotMass(grams, field)) : Mass.Zero;
            if (lot is null || check.Failed)
            {
                continue;
            }

            long book = await LotPlace.InOwnBinMgAsync(act, lot);
            check.That(mass.Milligrams >= lot.HeldMg, field, "{0} g of lot {1} are promised to members, more than was found. Cancel or shorten a hold first.", lot.HeldMg / 1000m, code.Display);
            lines.Add(new CountedLine(lot.Code, book, mass.Milligrams));
        }

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
