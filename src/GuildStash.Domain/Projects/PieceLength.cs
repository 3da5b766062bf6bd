using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Projects;

/// <summary>How far a knitted fabric has relaxed since it left the needles; the more, the more stitches lie in the same area.</summary>
public enum Relaxation
{
    Dry = 0,
    Wet = 1,
    Full = 2,
}

/// <summary>A sample of the fabric itself.</summary>
/// <param name="Used">Yarn that it took.</param>
/// <param name="Area">Its area.</param>
public sealed record FabricSwatch(Length Used, FabricArea Area);

/// <summary>Length of yarn from a fabric's area.</summary>
public static class PieceLength
{
    /// <summary>Makers' hand rule: yards = square inches · stitches to the inch / 6 (48 × 8 in at 5 stitches take 320 yd, published worked example).</summary>
    private const double HandRule = 6;

    /// <summary>Inches to the yard: what the loop-length model divides by.</summary>
    private const double InchesPerYard = 36;

    // A swatch leaves out ends, seams and a tired hand: 10 % more is the safe side, 5 % less the other. Judgement.
    private const double SwatchLow = 0.95;
    private const double SwatchHigh = 1.10;

    /// <summary>Courses times loop length over a unit of length, kc (Munden, J. Text. Inst. 1959; values from memory).</summary>
    public static double CourseConstant(this Relaxation relaxation) => relaxation switch
    {
        Relaxation.Dry => 5.0,
        Relaxation.Wet => 5.3,
        Relaxation.Full => 5.5,
        _ => throw new ArgumentOutOfRangeException(nameof(relaxation), relaxation, "Not a state of relaxation."),
    };

    /// <summary>Loops in a square centimetre, kc · kw / loop² (Doyle; Munden 1959): they depend on the loop's length alone.</summary>
    /// <param name="courseConstant">kc, 1 to 10.</param>
    /// <param name="waleConstant">kw, 1 to 10.</param>
    /// <param name="loopCentimetres">Length of yarn in one loop, 0.05 to 10 cm.</param>
    /// <exception cref="ArgumentOutOfRangeException">Out of range.</exception>
    public static double LoopsPerSquareCentimetre(double courseConstant, double waleConstant, double loopCentimetres)
    {
        Guard.InRange(loopCentimetres, 0.05, 10, nameof(loopCentimetres));
        return Guard.InRange(courseConstant, 1, 10, nameof(courseConstant)) * Guard.InRange(waleConstant, 1, 10, nameof(waleConstant)) / loopCentimetres / loopCentimetres;
    }

    /// <summary>The hand rule for stocking stitch: on the safe side of the loop-length model by 9 to 20 % (computed).</summary>
    public static Length ByHandRule(FabricArea area, Gauge gauge) => Length.FromYards(area.SquareInches * PerInch(gauge) / HandRule);

    /// <summary>The loop-length model for stocking stitch: length = kc · stitches to the width · area.</summary>
    public static Length ByLoopLength(FabricArea area, Gauge gauge, Relaxation relaxation) =>
        Length.FromYards(area.SquareInches * PerInch(gauge) * relaxation.CourseConstant() / InchesPerYard);

    /// <summary>
    /// What a knitted part takes by area and gauge: low as the dry fabric by loop length, likely as the fully relaxed one, safe by the
    /// hand rule, each with the fabric's factor on its own side.
    /// </summary>
    /// <param name="area">Of the finished part.</param>
    /// <param name="gauge">In stocking stitch.</param>
    /// <param name="fabric">A knitted one; crochet has no stocking stitch to count, so it is refused: make a swatch.</param>
    public static Outcome<LengthNeed> FromGauge(FabricArea area, Gauge gauge, Fabric fabric)
    {
        if (fabric.Craft() != Craft.Knitting)
        {
            return Refusal.Invalid("fabric", "A knitting gauge says nothing of crochet: weigh a crocheted swatch, or give the knitted gauge that the same yarn has and take crochet's factor.");
        }

        FabricFactor factor = fabric.Factor();
        return LengthNeed.OfRange(
            ByLoopLength(area, gauge, Relaxation.Dry).Metres * factor.Low,
            ByLoopLength(area, gauge, Relaxation.Full).Metres * factor.Likely,
            ByHandRule(area, gauge).Metres * factor.High);
    }

    /// <summary>What a crocheted part takes, from the gauge that the same yarn has in knitted stocking stitch: the roughest way; a swatch is better.</summary>
    /// <param name="knittedGauge">In stocking stitch.</param>
    /// <param name="fabric">A crocheted one.</param>
    public static Outcome<LengthNeed> FromKnittedGauge(FabricArea area, Gauge knittedGauge, Fabric fabric)
    {
        if (fabric.Craft() != Craft.Crochet)
        {
            return Refusal.Invalid("fabric", "This way is for crochet; a knitted part is reckoned from its own gauge.");
        }

        FabricFactor factor = fabric.Factor();
        double stocking = ByLoopLength(area, knittedGauge, Relaxation.Full).Metres;
        return LengthNeed.OfRange(stocking * factor.Low, stocking * factor.Likely, ByHandRule(area, knittedGauge).Metres * factor.High);
    }

    /// <summary>What a part takes by a swatch of the same fabric, knitted or crocheted: swatch's yarn times the areas' ratio.</summary>
    /// <returns>The need, or a refusal with field "swatch" where the swatch is too small to tell.</returns>
    public static Outcome<LengthNeed> FromSwatch(FabricArea area, FabricSwatch swatch)
    {
        if (swatch.Used.Metres <= 0 || swatch.Area.SquareCentimetres < 25)
        {
            return Refusal.Invalid("swatch", "A swatch of {0:0.#} cm² that took {1}: at least 25 cm² (5 by 5 cm) and more than 0 m are needed.", swatch.Area.SquareCentimetres, swatch.Used);
        }

        double likely = swatch.Used.Metres * area.SquareCentimetres / swatch.Area.SquareCentimetres;
        return LengthNeed.OfRange(likely * SwatchLow, likely, likely * SwatchHigh);
    }

    private static double PerInch(Gauge gauge) => gauge.StitchesPer10Cm * 0.254;
}
