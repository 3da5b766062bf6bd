namespace GuildStash.Domain.Counting;

/// <summary>
/// How far a stock count and the books may lie apart before it means something: 3·√(Σ d²/6 + counting error²), and a term for moisture.
/// d is the scale division of each weighing in the book figure and of the count; d²/6 is the variance of gross less tare, two roundings
/// with d²/12 each (computed).
/// </summary>
public static class CountTolerance
{
    /// <summary>Three standard deviations: an honest count lies outside about once in 370 times (computed).</summary>
    public const double Deviations = 3;

    /// <summary>Milligrams. A weighing whose division nobody noted counts as one of a kitchen scale, 1 g (a judgement).</summary>
    public const long UnknownDivisionMg = 1_000;

    /// <summary>Milligrams, one standard deviation for each lot that is counted: a band or a label left on or off (a judgement).</summary>
    public const long CountingErrorMg = 1_000;

    /// <summary>
    /// Per mille of the mass. A room that gets damper by 10 points makes wool 1 to 2 % heavier and cotton or acrylic hardly; with 10 ‰ a
    /// missing ball of 50 g shows in a bin of 4 kg (a judgement, the coordinator's setting).
    /// </summary>
    public const int UsualMoisturePerMille = 10;

    public const int MostMoisturePerMille = 50;

    /// <summary>Variance in mg² of one mass that was weighed as gross less tare on a scale.</summary>
    /// <param name="divisionMg">Null: not noted, see <see cref="UnknownDivisionMg"/>.</param>
    public static double Weighing(long? divisionMg) => Square(divisionMg ?? UnknownDivisionMg) / 6;

    /// <summary>The same where gross and tare were read on different scales.</summary>
    public static double Weighing(long? grossDivisionMg, long? tareDivisionMg) =>
        (Square(grossDivisionMg ?? UnknownDivisionMg) + Square(tareDivisionMg ?? UnknownDivisionMg)) / 12;

    /// <summary>Variance in mg² of what is miscounted with so many lots.</summary>
    public static double Counting(int lots) => lots * Square(CountingErrorMg);

    /// <summary>Milligrams, rounded to the nearest.</summary>
    /// <param name="variance">Of books and count together, in mg².</param>
    /// <param name="massMg">What the books have; moisture goes with it.</param>
    /// <param name="moisturePerMille">0 to <see cref="MostMoisturePerMille"/>.</param>
    public static long Of(double variance, long massMg, int moisturePerMille) =>
        (long)Math.Round((Deviations * Math.Sqrt(variance)) + Moisture(massMg, moisturePerMille));

    internal static double Moisture(long massMg, int perMille) => Math.Max(0, massMg) * (perMille / 1000.0);

    private static double Square(long mg) => (double)mg * mg;
}
