using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Bands;

/// <summary>Which fields of a band contradict each other.</summary>
internal static class BandConflicts
{
    /// <summary>Judgement: a count is nominal, and twist and finish change a yarn's length per mass by so much.</summary>
    private const double CountTolerance = 0.15;

    public static IEnumerable<BandConflict> Among(IReadOnlyList<BandField> fields) =>
        [.. Lengths(fields), .. Counts(fields), .. Classes(fields), .. Blends(fields), .. DyeLots(fields)];

    private static IEnumerable<BandConflict> Lengths(IReadOnlyList<BandField> fields)
    {
        BandLengthField[] bands = [.. fields.OfType<BandLengthField>()];
        foreach (BandLengthField other in bands.Skip(1).Where(other => Differ(other.Band.Density, bands[0].Band.Density, (double)QuantityReader.Rounding)))
        {
            yield return Of(bands[0], other, "The band gives two lengths: {0:N0} m and {1:N0} m to 100 g.", bands[0].Band.Density.MetresPer100Grams, other.Band.Density.MetresPer100Grams);
        }

        // A length too many beside a ball's metres and grams; two lengths without any mass are the same case.
        LoneLengthField[] lone = [.. fields.OfType<LoneLengthField>()];
        if (lone.Length > 0 && (bands.Length > 0 || lone.Length > 1))
        {
            Length first = bands.Length > 0 ? bands[0].Band.Length : lone[0].Length;
            foreach (LoneLengthField other in lone.Skip(bands.Length > 0 ? 0 : 1))
            {
                yield return Of(bands.Length > 0 ? bands[0] : lone[0], other, "The band gives two lengths: {0:N0} m and {1:N0} m.", first.Metres, other.Length.Metres);
            }
        }
    }

    private static IEnumerable<BandConflict> Counts(IReadOnlyList<BandField> fields)
    {
        CountField[] counts = [.. fields.OfType<CountField>().Where(field => field.Count is not null)];
        BandField? first = fields.OfType<BandLengthField>().FirstOrDefault();
        LinearDensity? stated = (first as BandLengthField)?.Band.Density;
        foreach (CountField field in counts)
        {
            LinearDensity density = field.Count!.Density;
            if (stated is { } known && Differ(density, known, CountTolerance))
            {
                yield return Of(first!, field, "The band's statements give {0:N0} m and {1:N0} m to 100 g.", known.MetresPer100Grams, density.MetresPer100Grams);
            }

            stated ??= density;
            first ??= field;
        }
    }

    private static IEnumerable<BandConflict> Classes(IReadOnlyList<BandField> fields)
    {
        ThicknessField[] named = [.. fields.OfType<ThicknessField>().Where(field => field.Thickness.Classes.Count > 0)];
        foreach (ThicknessField other in named.Skip(1).Where(other => !Numbers(other).Intersect(Numbers(named[0])).Any()))
        {
            yield return Of(named[0], other, "\"{0}\" and \"{1}\" are different thicknesses.", named[0].Thickness.Name, other.Thickness.Name);
        }
    }

    private static IEnumerable<BandConflict> Blends(IReadOnlyList<BandField> fields)
    {
        FibresField[] blends = [.. fields.OfType<FibresField>()];
        foreach (FibresField other in blends.Skip(1).Where(other => !Shares(other).SequenceEqual(Shares(blends[0]))))
        {
            yield return Of(blends[0], other, "The band gives the fibres twice, and not the same.");
        }
    }

    private static IEnumerable<BandConflict> DyeLots(IReadOnlyList<BandField> fields)
    {
        DyeLotField[] lots = [.. fields.OfType<DyeLotField>()];
        foreach (DyeLotField other in lots.Skip(1).Where(other => other.DyeLot != lots[0].DyeLot))
        {
            yield return Of(lots[0], other, "Two dye lots: {0} and {1}. Balls of different dye lots are logged apart.", lots[0].DyeLot, other.DyeLot);
        }
    }

    private static IEnumerable<(string Name, decimal? Percent)> Shares(FibresField field) =>
        field.Fibres.Select(each => (each.Fibre?.Code ?? each.Word, each.Percent)).OrderByDescending(each => each.Percent).ThenBy(each => each.Item1, StringComparer.Ordinal);

    private static IEnumerable<int> Numbers(ThicknessField field) => field.Thickness.Classes.Select(each => each.StandardNumber());

    private static bool Differ(LinearDensity a, LinearDensity b, double tolerance) =>
        Math.Abs(Math.Log(a.MetresPer100Grams / b.MetresPer100Grams)) > Math.Log(1 + tolerance);

    private static BandConflict Of(BandField a, BandField b, string text, params object[] arguments) =>
        new(new Phrase(text, arguments), [.. a.Pieces, .. b.Pieces]);
}
