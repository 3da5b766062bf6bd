using GuildStash.Data.Stock;

namespace GuildStash.Web.Features.Inventory;

/// <summary>
/// Sums lengths in the database. A lot's low figure is likely · exp(−√(s² + w²)) with s = ln(likely/low) per 100 g and w the weighing
/// error at its 95 % point, 1.645 · d/√6 over the mass, as <see cref="Domain.Yardage.YardageEstimate.LengthOf"/> computes it; a test compares both.
/// Adding low figures is on the safe side of the total's own low figure.
/// </summary>
internal static class LotTotals
{
    private const double WeighingAt95 = Domain.Yardage.LogNormal.NinetyFivePercent / 2.449489742783178; // z(0.95) / √6

    public static IQueryable<SummaryRow> ByCell(IQueryable<Lot> lots) =>
        lots
            .Select(l => new
            {
                l.ColourFamily,
                l.WeightClass,
                Mg = l.OnHandMg - l.QuarantinedMg,
                FreeMg = l.OnHandMg - l.QuarantinedMg - l.HeldMg,
                l.MetresPer100gLow,
                l.MetresPer100gLikely,
                l.MetresPer100gHigh,
                Weighing = l.ScaleDivisionMg == null || l.OnHandMg == l.QuarantinedMg ? 0.0 : WeighingAt95 * l.ScaleDivisionMg.Value / (l.OnHandMg - l.QuarantinedMg),
            })
            .Select(l => new
            {
                l.ColourFamily,
                l.WeightClass,
                l.Mg,
                l.FreeMg,
                Likely = (l.MetresPer100gLikely ?? 0) * l.Mg / 100_000.0,
                Below = l.MetresPer100gLow == null ? 0.0 : Math.Sqrt(Math.Pow(Math.Log(l.MetresPer100gLikely!.Value / l.MetresPer100gLow.Value), 2) + Math.Pow(l.Weighing, 2)),
                Above = l.MetresPer100gHigh == null ? 0.0 : Math.Sqrt(Math.Pow(Math.Log(l.MetresPer100gHigh.Value / l.MetresPer100gLikely!.Value), 2) + Math.Pow(l.Weighing, 2)),
            })
            .GroupBy(l => new { l.ColourFamily, l.WeightClass })
            .Select(g => new SummaryRow(
                g.Key.ColourFamily,
                g.Key.WeightClass,
                g.Count(),
                g.Sum(l => l.Mg),
                g.Sum(l => l.FreeMg),
                g.Sum(l => l.Likely * Math.Exp(-l.Below)),
                g.Sum(l => l.Likely),
                g.Sum(l => l.Likely * Math.Exp(l.Above))));
}
