using GuildStash.Data.Stock;
using GuildStash.Domain.Colours;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Inventory;

/// <summary>
/// Sums lengths in the database: means, shared parts, own variances and the greatest of them as <see cref="LengthSums"/> has them. Of
/// what is free or on open shelves each lot keeps them in columns of its own; of the few kept apart they are reckoned here. The wall's blocks have each lot's own low figure, likely · exp(−√(s² + w²)) with s = ln(likely/low) per 100 g and w the weighing
/// error at its 95 % point, 1.645 · d/√6 over the mass. The domain computes the same; tests compare both.
/// </summary>
internal static class LotTotals
{
    private const double MgPer100g = 100_000.0;
    private const double WeighingAt95 = NormalCurve.NinetyFivePercent / 2.449489742783178; // z(0.95) / √6

    // The server refuses the exponential of less instead of saying 0.
    private const double MostLogError = 700;

    /// <summary>A lot's part in the sums; zero where its length is not known.</summary>
    private sealed record Part
    {
        public ColourFamily? ColourFamily { get; init; }

        public WeightClass? WeightClass { get; init; }

        public long Mg { get; init; }

        public long FreeMg { get; init; }

        public double Mean { get; init; }

        public double Shared { get; init; }

        public double OwnVariance { get; init; }

        public double MostOwn { get; init; }
    }

    private sealed record CellSums(ColourFamily? ColourFamily, WeightClass? WeightClass, int Lots, long Mg, long FreeMg, double Mean, double Shared, double OwnVariance, double Largest, double MostOwn)
    {
        public SummaryRow Row(Act act) => new(ColourFamily, WeightClass, Lots, Mg, FreeMg, new(WeightClass, Mean, Shared, OwnVariance, Largest, MostOwn), act.Yardage.Totals.ScaleLogSd);
    }

    private sealed record Block
    {
        public ColourFamily? ColourFamily { get; init; }

        public WeightClass? WeightClass { get; init; }

        public required string Code { get; init; }

        public string? ColourHex { get; init; }

        public bool LengthKnown { get; init; }

        public double Low { get; init; }
    }

    /// <summary>The lots that have some of the part.</summary>
    public static IQueryable<Lot> Having(IQueryable<Lot> lots, StockPart part) => part switch
    {
        StockPart.Free => lots.Where(l => l.ClosedAt == null && l.QuarantineReason == null && l.OnHandMg > l.HeldMg + l.QuarantinedMg),
        StockPart.OnShelves => lots.Where(l => l.ClosedAt == null && l.QuarantineReason == null && (l.OnHandMg > l.QuarantinedMg || !l.MassKnown)),
        _ => lots.Where(l => l.ClosedAt == null && (l.QuarantineReason != null || (l.OnHandMg > 0 && l.QuarantinedMg == l.OnHandMg))),
    };

    public static async Task<IReadOnlyList<SummaryRow>> ByCellAsync(IQueryable<Lot> lots, StockPart part, Act act)
    {
        List<CellSums> cells = await Parts(lots, part).GroupBy(l => new { l.ColourFamily, l.WeightClass })
            .Select(g => new CellSums(
                g.Key.ColourFamily, g.Key.WeightClass, g.Count(), g.Sum(l => l.Mg), g.Sum(l => l.FreeMg), g.Sum(l => l.Mean), g.Sum(l => l.Shared), g.Sum(l => l.OwnVariance),
                g.Max(l => l.Mean), g.Max(l => l.MostOwn)))
            .ToListAsync(act.Cancellation);
        return [.. cells.Select(cell => cell.Row(act))];
    }

    /// <summary>The database numbers the lots of each cell by length and hands out the first of them only.</summary>
    public static async Task<IReadOnlyList<WallCell>> WallAsync(IQueryable<Lot> lots, StockPart part, int perCell, Act act)
    {
        IReadOnlyList<SummaryRow> cells = await ByCellAsync(lots, part, act);
        var blocks = await Blocks(lots, part).GroupBy(l => new { l.ColourFamily, l.WeightClass })
            .Select(g => new { g.Key, Longest = g.OrderByDescending(l => l.Low).ThenBy(l => l.Code).Take(perCell).ToList() })
            .ToListAsync(act.Cancellation);
        ILookup<(ColourFamily?, WeightClass?), WallBlock> ofCell = blocks.SelectMany(cell => cell.Longest)
            .ToLookup(block => (block.ColourFamily, block.WeightClass), block => new WallBlock(block.Code, block.ColourHex, block.LengthKnown ? block.Low : null));
        return [.. cells.Select(cell => new WallCell(cell, [.. ofCell[(cell.ColourFamily, cell.WeightClass)]]))];
    }

    public static async Task<StockHead> HeadAsync(IQueryable<Lot> lots, Act act)
    {
        List<CellSums> free = await Parts(lots, StockPart.Free).GroupBy(l => l.WeightClass)
            .Select(g => new CellSums(null, g.Key, g.Count(), g.Sum(l => l.Mg), g.Sum(l => l.FreeMg), g.Sum(l => l.Mean), g.Sum(l => l.Shared), g.Sum(l => l.OwnVariance),
                g.Max(l => l.Mean), g.Max(l => l.MostOwn)))
            .ToListAsync(act.Cancellation);
        var rest = await lots.Where(l => l.ClosedAt == null && (l.HeldMg > 0 || l.QuarantinedMg > 0 || l.QuarantineReason != null || !l.MassKnown)).GroupBy(l => 1)
            .Select(g => new
            {
                ReservedLots = g.Count(l => l.HeldMg > 0),
                ReservedMg = g.Sum(l => l.HeldMg),
                QuarantinedLots = g.Count(l => l.QuarantineReason != null || l.QuarantinedMg > 0),
                QuarantinedMg = g.Sum(l => l.QuarantinedMg),
                Unweighed = g.Count(l => !l.MassKnown),
            })
            .SingleOrDefaultAsync(act.Cancellation);
        LengthRange length = SummaryRow.Total(free.Select(row => row.Row(act)));
        return new StockHead(
            free.Sum(row => row.Lots), free.Sum(row => row.Mg), length.Low.Metres, length.Likely.Metres, length.High.Metres,
            rest?.ReservedLots ?? 0, rest?.ReservedMg ?? 0, rest?.QuarantinedLots ?? 0, rest?.QuarantinedMg ?? 0, rest?.Unweighed ?? 0);
    }

    private static IQueryable<Part> Parts(IQueryable<Lot> lots, StockPart part) => part switch
    {
        StockPart.Free => Having(lots, part).Select(l => new Part
        {
            ColourFamily = l.ColourFamily,
            WeightClass = l.WeightClass,
            Mg = l.OnHandMg - l.QuarantinedMg - l.HeldMg,
            FreeMg = l.OnHandMg - l.QuarantinedMg - l.HeldMg,
            Mean = l.FreeMetres,
            Shared = l.FreeMetres * (l.LengthSharedSd ?? 0),
            OwnVariance = l.FreeOwnVariance,
            MostOwn = l.LengthOwnVariance ?? 0,
        }),
        StockPart.OnShelves => Having(lots, part).Select(l => new Part
        {
            ColourFamily = l.ColourFamily,
            WeightClass = l.WeightClass,
            Mg = l.OnHandMg - l.QuarantinedMg,
            FreeMg = l.OnHandMg - l.QuarantinedMg - l.HeldMg,
            Mean = l.ShelfMetres,
            Shared = l.ShelfMetres * (l.LengthSharedSd ?? 0),
            OwnVariance = l.ShelfOwnVariance,
            MostOwn = l.LengthOwnVariance ?? 0,
        }),
        _ => Having(lots, part)
            .Select(l => new
            {
                Lot = l,
                Mean = (l.MetresPer100gMean ?? 0) * l.QuarantinedMg / MgPer100g,
                Division = l.QuarantinedMg == 0 ? 0.0 : (l.MetresPer100gMean ?? 0) * (l.ScaleDivisionMg ?? 0) / MgPer100g,
            })
            .Select(s => new Part
            {
                ColourFamily = s.Lot.ColourFamily,
                WeightClass = s.Lot.WeightClass,
                Mg = s.Lot.QuarantinedMg,
                FreeMg = s.Lot.QuarantineReason == null ? s.Lot.OnHandMg - s.Lot.QuarantinedMg - s.Lot.HeldMg : 0,
                Mean = s.Mean,
                Shared = s.Mean * (s.Lot.LengthSharedSd ?? 0),
                OwnVariance = (s.Mean * s.Mean * (s.Lot.LengthOwnVariance ?? 0)) + (s.Division * s.Division / 6),
                MostOwn = s.Lot.LengthOwnVariance ?? 0,
            }),
    };

    private static IQueryable<Block> Blocks(IQueryable<Lot> lots, StockPart part) => part switch
    {
        StockPart.Free => Having(lots, part).Select(l => new Block
        {
            ColourFamily = l.ColourFamily,
            WeightClass = l.WeightClass,
            Code = l.Code,
            ColourHex = l.ColourHex,
            LengthKnown = l.MassKnown && l.MetresPer100gLow != null,
            Low = l.FreeMetresLow,
        }),
        StockPart.OnShelves => Having(lots, part).Select(l => new Block
        {
            ColourFamily = l.ColourFamily,
            WeightClass = l.WeightClass,
            Code = l.Code,
            ColourHex = l.ColourHex,
            LengthKnown = l.MassKnown && l.MetresPer100gLow != null,
            Low = l.ShelfMetresLow,
        }),
        _ => Having(lots, part)
            .Select(l => new
            {
                Lot = l,
                Weighing = l.ScaleDivisionMg == null || l.QuarantinedMg == 0 ? 0.0 : WeighingAt95 * l.ScaleDivisionMg.Value / l.QuarantinedMg,
            })
            .Select(s => new Block
            {
                ColourFamily = s.Lot.ColourFamily,
                WeightClass = s.Lot.WeightClass,
                Code = s.Lot.Code,
                ColourHex = s.Lot.ColourHex,
                LengthKnown = s.Lot.MassKnown && s.Lot.MetresPer100gLow != null,
                Low = s.Lot.MetresPer100gLow == null ? 0.0 : s.Lot.MetresPer100gLikely!.Value * s.Lot.QuarantinedMg / MgPer100g
                    * Math.Exp(-Math.Min(MostLogError, Math.Sqrt(Math.Pow(Math.Log(s.Lot.MetresPer100gLikely.Value / s.Lot.MetresPer100gLow.Value), 2) + Math.Pow(s.Weighing, 2)))),
            }),
    };
}
