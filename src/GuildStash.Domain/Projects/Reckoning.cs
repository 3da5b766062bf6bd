using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Projects;

/// <summary>How a part's length was reckoned, where nobody gave it as a figure of their own.</summary>
public enum ReckoningWay
{
    /// <summary>A swatch of the same fabric, by the ratio of areas.</summary>
    Swatch = 0,

    /// <summary>Area and gauge: hand rule and loop length with the fabric's factor.</summary>
    Gauge = 1,

    /// <summary>A usual length of the size table.</summary>
    SizeTable = 2,
}

/// <summary>
/// What was entered to reckon a part's length, so that it can be opened again. Sizes in centimetres, lengths in metres; only what belongs
/// to <see cref="Way"/> counts, the rest is null.
/// </summary>
public sealed record Reckoning
{
    public required ReckoningWay Way { get; init; }

    /// <summary>Of the finished part; a tube's circumference, a joined blanket's side.</summary>
    public double? WidthCm { get; init; }

    public double? HeightCm { get; init; }

    public double? SwatchWidthCm { get; init; }

    public double? SwatchHeightCm { get; init; }

    /// <summary>Yarn in the swatch, of one strand; in place of its mass.</summary>
    public double? SwatchMetres { get; init; }

    /// <summary>Yarn in the swatch; needs <see cref="SwatchMetresPer100G"/>.</summary>
    public double? SwatchGrams { get; init; }

    public double? SwatchMetresPer100G { get; init; }

    /// <summary>Stitches of knitted stocking stitch over <see cref="OverCm"/>.</summary>
    public decimal? Stitches { get; init; }

    public decimal? OverCm { get; init; }

    public Fabric? Fabric { get; init; }

    /// <summary>The size table's row as it stood then, of kind "yarn".</summary>
    public PieceSize? Row { get; init; }

    /// <summary>A side or a girth of what the row is for; null takes its length as it stands.</summary>
    public double? RowSideCm { get; init; }

    /// <summary>The same of this part; its length goes by the square of the ratio.</summary>
    public double? SideCm { get; init; }
}

/// <summary>Lengths from what was entered.</summary>
public static class Reckoner
{
    private const double LeastSide = 1;
    private const double MostSide = 1_000;

    /// <returns>The need, or refusals whose fields are the entries' names in camelCase.</returns>
    public static Outcome<LengthNeed> Need(Reckoning reckoning) => reckoning.Way switch
    {
        ReckoningWay.Swatch => BySwatch(reckoning),
        ReckoningWay.Gauge => ByGauge(reckoning),
        ReckoningWay.SizeTable => ByTable(reckoning),
        _ => Refusal.Invalid("way", "There is no such way to reckon a length."),
    };

    /// <summary>The finished part's area.</summary>
    public static Outcome<FabricArea> Area(Reckoning reckoning) => Area(reckoning.WidthCm, reckoning.HeightCm, "widthCm", "heightCm");

    /// <summary>The gauge, which both makers' rule and model start from.</summary>
    public static Outcome<Gauge> GaugeOf(Reckoning reckoning) => reckoning.Stitches is { } stitches
        ? Gauge.Create(stitches, reckoning.OverCm ?? 10)
        : Refusal.Invalid("gauge.stitches", "Count the stitches of plain knitting over a width, and say how wide that is.");

    /// <summary>How many times the length of its row a part takes: the square of the sides' ratio, 1 where no sides are given.</summary>
    public static Outcome<double> Scale(Reckoning reckoning)
    {
        if (reckoning.RowSideCm is null && reckoning.SideCm is null)
        {
            return 1.0;
        }

        return reckoning is { RowSideCm: >= LeastSide and <= MostSide, SideCm: >= LeastSide and <= MostSide }
            ? Math.Pow(reckoning.SideCm.Value / reckoning.RowSideCm.Value, 2)
            : Refusal.Invalid("sideCm", "To scale a usual length give both sides, each {0} to {1:N0} cm: that of what the figure is for, and that of yours.", LeastSide, MostSide);
    }

    private static Outcome<LengthNeed> BySwatch(Reckoning reckoning)
    {
        Outcome<FabricArea> area = Area(reckoning);
        Outcome<FabricArea> swatch = Area(reckoning.SwatchWidthCm, reckoning.SwatchHeightCm, "swatchWidthCm", "swatchHeightCm");
        Outcome<Length> used = Used(reckoning);
        Refusal[] wrong = [.. area.Refusals, .. swatch.Refusals, .. used.Refusals];
        return wrong.Length > 0
            ? Outcome<LengthNeed>.Refused(wrong)
            : PieceLength.FromSwatch(area.Value, new FabricSwatch(used.Value, swatch.Value));
    }

    private static Outcome<Length> Used(Reckoning reckoning)
    {
        if (reckoning.SwatchMetres is { } metres)
        {
            return metres is > 0 and <= LengthNeed.MostMetres
                ? Length.FromMetres(metres)
                : Refusal.Invalid("swatchMetres", "A swatch that took {0} m: more than 0 and at most {1:N0} m is allowed.", metres, LengthNeed.MostMetres);
        }

        if (reckoning.SwatchGrams is not { } grams)
        {
            return Refusal.Invalid("swatchGrams", "Say what the swatch took: its length, or its grams with how long 100 g of the yarn are.");
        }

        return reckoning.SwatchMetresPer100G is { } per100 && per100 is >= 1 and <= 100_000 && grams is > 0 and <= 10_000
            ? LinearDensity.FromMetresPer100Grams(per100).LengthOf(Mass.FromGrams(grams))
            : Refusal.Invalid("swatchMetresPer100G", "To reckon by grams, more than 0 and at most {0:N0} g are allowed, and {1} to {2:N0} m in 100 g of the yarn.", 10_000, 1, 100_000);
    }

    private static Outcome<LengthNeed> ByGauge(Reckoning reckoning)
    {
        Outcome<FabricArea> area = Area(reckoning);
        Outcome<Gauge> gauge = GaugeOf(reckoning);
        Refusal[] wrong = [.. area.Refusals, .. gauge.Refusals];
        if (wrong.Length > 0)
        {
            return Outcome<LengthNeed>.Refused(wrong);
        }

        Fabric fabric = reckoning.Fabric ?? Fabric.StockingStitch;
        if (!Enum.IsDefined(fabric))
        {
            return Refusal.Invalid("fabric", "There is no such fabric.");
        }

        return fabric.Craft() == Craft.Crochet ? PieceLength.FromKnittedGauge(area.Value, gauge.Value, fabric) : PieceLength.FromGauge(area.Value, gauge.Value, fabric);
    }

    private static Outcome<LengthNeed> ByTable(Reckoning reckoning)
    {
        if (reckoning.Row is not { Kind: PieceSizes.YarnKind } row || row.InMetres() is not { } metres)
        {
            return Refusal.Invalid("row", "Choose a usual length of the size table.");
        }

        Outcome<double> scale = Scale(reckoning);
        return scale.IsOk
            ? LengthNeed.OfRange(metres.Low * scale.Value, (metres.Low + metres.High) / 2 * scale.Value, metres.High * scale.Value, "row")
            : Outcome<LengthNeed>.Refused(scale.Refusals);
    }

    private static Outcome<FabricArea> Area(double? width, double? height, string widthField, string heightField)
    {
        Refusal[] wrong = [.. Wrong(width, widthField), .. Wrong(height, heightField)];
        return wrong.Length > 0 ? Outcome<FabricArea>.Refused(wrong) : FabricArea.FromCentimetres(width!.Value, height!.Value);
    }

    private static IEnumerable<Refusal> Wrong(double? side, string field)
    {
        if (side is not (>= LeastSide and <= MostSide))
        {
            yield return Refusal.Invalid(field, "A side of {0} cm: {1} to {2:N0} cm is allowed.", side ?? 0, LeastSide, MostSide);
        }
    }
}
