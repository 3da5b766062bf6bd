using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Quantities;

/// <summary>A piece of yarn that was measured and weighed: the most trusted evidence of length per mass.</summary>
public sealed record WeighedSample
{
    public const decimal MinMetres = 0.1m;
    public const int MaxMetres = 2_000;
    public const int MaxGrams = 5_000;
    public const int MaxDivisionGrams = 1_000;

    /// <summary>With fewer divisions of the scale a sample is not worth its trouble: the rounding alone leaves it unsure by 3 % (1.645/√6/20, computed).</summary>
    public const int FewestDivisions = 20;

    private WeighedSample(Length length, Length lengthError, Mass mass, Mass division, bool isDifference) =>
        (Length, LengthError, Mass, Division, IsDifference) = (length, lengthError, mass, division, isDifference);

    /// <summary>0.1 to 2,000 m.</summary>
    public Length Length { get; }

    /// <summary>The length is right within ± this; less than the length.</summary>
    public Length LengthError { get; }

    /// <summary>What <see cref="LengthError"/> is where nobody said: 1 % of the length.</summary>
    public Length UsualError => Length.FromMetres((double)((decimal)Length.Metres * 0.01m));

    /// <summary>More than 0, at most 5,000 g.</summary>
    public Mass Mass { get; }

    /// <summary>Division of the scale; zero counts as exact.</summary>
    public Mass Division { get; }

    /// <summary>The mass is the difference of two readings, gross and tare, or of a scale that was set to zero first; otherwise of a scale that shows zero truly.</summary>
    public bool IsDifference { get; }

    /// <summary>How many divisions of the scale the sample weighs; infinite on an exact one.</summary>
    public double Divisions => Division == Mass.Zero ? double.PositiveInfinity : Mass.Milligrams / (double)Division.Milligrams;

    public LinearDensity Density => LinearDensity.FromMetresPer100Grams(Length.Metres * 100_000 / Mass.Milligrams);

    /// <param name="metres">Length of the sample.</param>
    /// <param name="grams">Its mass.</param>
    /// <param name="divisionGrams">Division of the scale; null counts as exact.</param>
    /// <param name="errorMetres">The length is right within ± this; null takes 1 % of it (judgement: a tape along relaxed yarn).</param>
    /// <param name="isDifference">
    /// Gross and tare were read, or the scale was set to zero under its bowl, which rounds alike: so it is in a guild's room. False for a
    /// single reading.
    /// </param>
    /// <returns>The sample, or a refusal for each value out of range, with fields "sample.metres", "sample.errorMetres", "sample.grams", "sample.divisionGrams".</returns>
    public static Outcome<WeighedSample> Create(decimal metres, decimal grams, decimal? divisionGrams = null, decimal? errorMetres = null, bool isDifference = true)
    {
        List<Refusal> refusals = [];
        if (metres is < MinMetres or > MaxMetres)
        {
            refusals.Add(Refusal.Invalid("sample.metres", "A sample of {0} m: {1} to {2:N0} m is allowed.", metres, MinMetres, MaxMetres));
        }

        if (grams is < 0.001m or > MaxGrams)
        {
            refusals.Add(Refusal.Invalid("sample.grams", "A sample of {0} g: more than 0 and at most {1:N0} g is allowed.", grams, MaxGrams));
        }

        if (divisionGrams is < 0 or > MaxDivisionGrams)
        {
            refusals.Add(Refusal.Invalid("sample.divisionGrams", "A scale division of {0} g: 0 to {1:N0} g is allowed.", divisionGrams, MaxDivisionGrams));
        }
        else if (divisionGrams > grams && refusals.Count == 0)
        {
            refusals.Add(Refusal.Invalid("sample.grams", "A scale that reads to {0} g can't weigh a sample of {1} g: take more yarn.", divisionGrams, grams));
        }

        decimal error = errorMetres ?? metres * 0.01m;
        if (errorMetres is < 0 || (errorMetres >= metres && refusals.Count == 0))
        {
            refusals.Add(Refusal.Invalid("sample.errorMetres", "A length right within {0} m: 0 or more and less than the length itself ({1} m) is allowed.", error, metres));
        }

        if (refusals.Count > 0)
        {
            return Outcome<WeighedSample>.Refused(refusals);
        }

        decimal ratio = metres * 100 / grams;
        return ratio is >= Band.MinMetresPer100Grams and <= Band.MaxMetresPer100Grams
            ? new WeighedSample(Length.FromMetres((double)metres), Length.FromMetres((double)error), Mass.FromGrams(grams), Mass.FromGrams(divisionGrams ?? 0), isDifference)
            : Refusal.Invalid("sample.metres", "{0} m of {1} g is {2} m to 100 g: {3} to {4:N0} is allowed. Check that metres and grams are not mixed up.", metres, grams, Math.Round(ratio, 1), Band.MinMetresPer100Grams, Band.MaxMetresPer100Grams);
    }
}
