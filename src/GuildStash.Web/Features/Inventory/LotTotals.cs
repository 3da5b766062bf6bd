using GuildStash.Data.Stock;
using GuildStash.Domain.Colours;
using GuildStash.Domain.WeightClasses;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Inventory;

/// <summary>
/// Sums lengths in the database. A lot's low figure is likely · exp(−√(s² + w²)) with s = ln(likely/low) per 100 g and w the weighing
/// error at its 95 % point, 1.645 · d/√6 over the mass; high likewise, but never more than a mass greater by one division could hold.
/// <see cref="Domain.Yardage.YardageEstimate.LengthOf"/> computes the same; a test compares both.
/// Adding low figures is on the safe side of the total's own low figure.
/// </summary>
internal static class LotTotals
{
    private const double MgPer100g = 100_000.0;
    private const double WeighingAt95 = Domain.Yardage.NormalCurve.NinetyFivePercent / 2.449489742783178; // z(0.95) / √6

    /// <summary>A lot with the milligrams that count.</summary>
    private sealed record Share
    {
        public required Lot Lot { get; init; }

        public long Mg { get; init; }
    }

    /// <summary>A lot's figures for the milligrams that count; zero metres where its length is not known.</summary>
    internal sealed record Figures
    {
        public required string Code { get; init; }

        public ColourFamily? ColourFamily { get; init; }

        public WeightClass? WeightClass { get; init; }

        public string? ColourHex { get; init; }

        public bool LengthKnown { get; init; }

        public long Mg { get; init; }

        public long FreeMg { get; init; }

        public double Low { get; init; }

        public double Likely { get; init; }

        public double High { get; init; }
    }

    /// <summary>The lots that have some of the part.</summary>
    public static IQueryable<Lot> Having(IQueryable<Lot> lots, StockPart part) => part switch
    {
        StockPart.Free => lots.Where(l => l.ClosedAt == null && l.QuarantineReason == null && l.OnHandMg > l.HeldMg + l.QuarantinedMg),
        StockPart.OnShelves => lots.Where(l => l.ClosedAt == null && l.QuarantineReason == null && (l.OnHandMg > l.QuarantinedMg || !l.MassKnown)),
        _ => lots.Where(l => l.ClosedAt == null && (l.QuarantineReason != null || (l.OnHandMg > 0 && l.QuarantinedMg == l.OnHandMg))),
    };

    public static IQueryable<Figures> Of(IQueryable<Lot> lots, StockPart part) => Of(Shares(Having(lots, part), part));

    public static IQueryable<SummaryRow> ByCell(IQueryable<Figures> lots) =>
        lots.GroupBy(l => new { l.ColourFamily, l.WeightClass })
            .Select(g => new SummaryRow(
                g.Key.ColourFamily,
                g.Key.WeightClass,
                g.Count(),
                g.Sum(l => l.Mg),
                g.Sum(l => l.FreeMg),
                g.Sum(l => l.Low),
                g.Sum(l => l.Likely),
                g.Sum(l => l.High)));

    /// <summary>The database numbers the lots of each cell by length and hands out the first of them only.</summary>
    public static IQueryable<WallCell> Wall(IQueryable<Figures> lots, int perCell) =>
        lots.GroupBy(l => new { l.ColourFamily, l.WeightClass })
            .Select(g => new WallCell(
                new SummaryRow(
                    g.Key.ColourFamily,
                    g.Key.WeightClass,
                    g.Count(),
                    g.Sum(l => l.Mg),
                    g.Sum(l => l.FreeMg),
                    g.Sum(l => l.Low),
                    g.Sum(l => l.Likely),
                    g.Sum(l => l.High)),
                g.OrderByDescending(l => l.Low).ThenBy(l => l.Code).Take(perCell)
                    .Select(l => new WallBlock(l.Code, l.ColourHex, l.LengthKnown ? l.Low : null)).ToList()));

    public static async Task<StockHead> HeadAsync(IQueryable<Lot> lots, CancellationToken cancellation)
    {
        var free = await Of(lots, StockPart.Free).GroupBy(l => 1)
            .Select(g => new { Lots = g.Count(), Mg = g.Sum(l => l.Mg), Low = g.Sum(l => l.Low), Likely = g.Sum(l => l.Likely) })
            .SingleOrDefaultAsync(cancellation);
        var rest = await lots.Where(l => l.ClosedAt == null).GroupBy(l => 1)
            .Select(g => new
            {
                ReservedLots = g.Count(l => l.HeldMg > 0),
                ReservedMg = g.Sum(l => l.HeldMg),
                QuarantinedLots = g.Count(l => l.QuarantineReason != null || l.QuarantinedMg > 0),
                QuarantinedMg = g.Sum(l => l.QuarantinedMg),
                Unweighed = g.Count(l => !l.MassKnown),
            })
            .SingleOrDefaultAsync(cancellation);
        return new StockHead(
            free?.Lots ?? 0, free?.Mg ?? 0, free?.Low ?? 0, free?.Likely ?? 0,
            rest?.ReservedLots ?? 0, rest?.ReservedMg ?? 0, rest?.QuarantinedLots ?? 0, rest?.QuarantinedMg ?? 0, rest?.Unweighed ?? 0);
    }

    private static IQueryable<Share> Shares(IQueryable<Lot> lots, StockPart part) => part switch
    {
        StockPart.Free => lots.Select(l => new Share { Lot = l, Mg = l.OnHandMg - l.QuarantinedMg - l.HeldMg }),
        StockPart.OnShelves => lots.Select(l => new Share { Lot = l, Mg = l.OnHandMg - l.QuarantinedMg }),
        _ => lots.Select(l => new Share { Lot = l, Mg = l.QuarantinedMg }),
    };

    private static IQueryable<Figures> Of(IQueryable<Share> shares) =>
        shares
            .Select(s => new
            {
                s.Lot,
                s.Mg,
                Weighing = s.Lot.ScaleDivisionMg == null || s.Mg == 0 ? 0.0 : WeighingAt95 * s.Lot.ScaleDivisionMg.Value / s.Mg,
                Likely = (s.Lot.MetresPer100gLikely ?? 0) * s.Mg / MgPer100g,
                Most = (s.Lot.MetresPer100gHigh ?? 0) * (s.Mg + (s.Lot.ScaleDivisionMg ?? 0)) / MgPer100g,
            })
            .Select(s => new
            {
                s.Lot,
                s.Mg,
                s.Likely,
                s.Most,
                Below = s.Lot.MetresPer100gLow == null ? 0.0 : Math.Sqrt(Math.Pow(Math.Log(s.Lot.MetresPer100gLikely!.Value / s.Lot.MetresPer100gLow.Value), 2) + Math.Pow(s.Weighing, 2)),
                Above = s.Lot.MetresPer100gHigh == null ? 0.0 : Math.Sqrt(Math.Pow(Math.Log(s.Lot.MetresPer100gHigh.Value / s.Lot.MetresPer100gLikely!.Value), 2) + Math.Pow(s.Weighing, 2)),
            })
            .Select(s => new Figures
            {
                Code = s.Lot.Code,
                ColourFamily = s.Lot.ColourFamily,
                WeightClass = s.Lot.WeightClass,
                ColourHex = s.Lot.ColourHex,
                LengthKnown = s.Lot.MassKnown && s.Lot.MetresPer100gLow != null,
                Mg = s.Mg,
                FreeMg = s.Lot.QuarantineReason == null ? s.Lot.OnHandMg - s.Lot.QuarantinedMg - s.Lot.HeldMg : 0,
                Low = s.Likely * Math.Exp(-s.Below),
                Likely = s.Likely,
                High = s.Mg == 0 ? 0.0 : Math.Min(s.Likely * Math.Exp(s.Above), s.Most),
            });
}
