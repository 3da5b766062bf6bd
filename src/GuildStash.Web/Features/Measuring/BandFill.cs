using System.Globalization;
using GuildStash.Domain.Bands;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Web.Features.Measuring;

/// <summary>What a band's words put into the fields. What it says twice and not the same is left to the person.</summary>
public sealed record BandFill
{
    private const double MetresPerYard = 0.9144;

    public static BandFill Nothing { get; } = new();

    /// <summary>Length of a ball in <see cref="Unit"/>.</summary>
    public decimal? Length { get; private init; }

    /// <summary>The unit in which the length is the rounder figure, which is the one that stands on the band.</summary>
    public LengthUnit Unit { get; private init; } = LengthUnit.Metres;

    public decimal? Grams { get; private init; }

    /// <summary>A count with its system, as <see cref="YarnCount.Parse"/> reads it; empty for none.</summary>
    public string Count { get; private init; } = "";

    /// <summary>Stitches over 10 cm, the middle of a span.</summary>
    public decimal? Gauge { get; private init; }

    /// <summary>Only where the words mean one class.</summary>
    public WeightClass? WeightClass { get; private init; }

    public IReadOnlyList<FibreShare> Fibres { get; private init; } = [];

    /// <summary>Metres in 100 g that a name of thickness stands for, about.</summary>
    public double? NamedMetresPer100Grams { get; private init; }

    public static BandFill Of(BandText text)
    {
        (decimal? length, LengthUnit unit) = text.Band is { } band ? AsPrinted(band.Length) : ((decimal?)null, LengthUnit.Metres);
        BandRange? gauge = Undisputed<GaugeField>(text)?.StitchesPer10Cm;
        return new()
        {
            Length = length,
            Unit = unit,
            Grams = text.Band?.Mass.Grams,
            Count = Undisputed<CountField>(text) is { Count: { } count } field ? AsText(field, count) : "",
            Gauge = gauge is null ? null : (gauge.Low + gauge.High) / 2,
            WeightClass = ClassOf(text),
            Fibres = Undisputed<FibresField>(text)?.Content?.Shares ?? [],
            NamedMetresPer100Grams = MetresOfName(text),
        };
    }

    private static T? Undisputed<T>(BandText text)
        where T : BandField => text.Of<T>().FirstOrDefault(field => !text.Conflicts.Any(conflict => conflict.Pieces.Contains(field.Pieces[0])));

    private static (decimal? Length, LengthUnit Unit) AsPrinted(Length length)
    {
        bool isWholeYards = Math.Abs(length.Yards - Math.Round(length.Yards)) < 1e-6;
        bool isWholeMetres = Math.Abs(length.Metres - Math.Round(length.Metres)) < 1e-6;
        return isWholeYards && !isWholeMetres
            ? ((decimal)Math.Round(length.Metres / MetresPerYard), LengthUnit.Yards)
            : (Math.Round((decimal)length.Metres, 3), LengthUnit.Metres);
    }

    private static string AsText(CountField field, YarnCount count)
    {
        string typed = string.Join(' ', field.Pieces.Select(piece => piece.Text));
        string resultant = count.Resultant.ToString("0.####", CultureInfo.InvariantCulture);
        string[] ways = [typed, $"{count.System.Key()} {typed}", $"{count.System.Key()} {resultant}"];
        return ways.FirstOrDefault(way => YarnCount.Parse(way) is { IsOk: true } read && Math.Abs(read.Value.Resultant - count.Resultant) < 1e-9) ?? ways[^1];
    }

    /// <summary>"worsted 4" names class 4 and within it worsted; two names that only overlap name none.</summary>
    private static WeightClass? ClassOf(BandText text)
    {
        if (text.Of<ThicknessField>().Any(field => text.Conflicts.Any(conflict => conflict.Pieces.Contains(field.Pieces[0]))))
        {
            return null;
        }

        WeightClass[] named = [.. text.Of<ThicknessField>().Where(field => field.Thickness.Classes.Count == 1).Select(field => field.Thickness.Classes[0]).Distinct()];
        WeightClass[] exact = named.Length > 1 ? [.. named.Where(each => each != Domain.WeightClasses.WeightClass.Medium)] : named;
        return exact.Length == 1 ? exact[0] : null;
    }

    private static double? MetresOfName(BandText text) =>
        text.Of<ThicknessField>().Select(field => field.Thickness).FirstOrDefault(each => each.MaxMetresPerGram is not null) is { MaxMetresPerGram: { } most } name
            ? 100 * Math.Sqrt((double)(most * (name.MinMetresPerGram ?? most)))
            : null;
}
