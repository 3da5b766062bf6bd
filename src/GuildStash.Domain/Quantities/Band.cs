using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Quantities;

/// <summary>What a ball's paper band states: so many metres to so many grams.</summary>
public sealed record Band
{
    public const int MinMetres = 1;
    public const int MaxMetres = 20_000;
    public const int MinGrams = 1;
    public const int MaxGrams = 5_000;

    /// <summary>Metres per 100 g of the thickest rope.</summary>
    public const int MinMetresPer100Grams = 5;

    /// <summary>Metres per 100 g of the finest thread.</summary>
    public const int MaxMetresPer100Grams = 20_000;

    private Band(Length length, Mass mass) => (Length, Mass) = (length, mass);

    /// <summary>1 to 20,000 m.</summary>
    public Length Length { get; }

    /// <summary>1 to 5,000 g.</summary>
    public Mass Mass { get; }

    /// <summary>5 to 20,000 m per 100 g.</summary>
    public LinearDensity Density => LinearDensity.FromMetresPer100Grams(Length.Metres * 100_000 / Mass.Milligrams);

    /// <returns>The band, or a refusal for each value out of range, with fields "band.metres" and "band.grams".</returns>
    public static Outcome<Band> Create(decimal metres, decimal grams)
    {
        List<Refusal> refusals = [];
        if (metres is < MinMetres or > MaxMetres)
        {
            refusals.Add(Refusal.Invalid("band.metres", "{0} m on a band: {1} to {2:N0} m is allowed. Type what the band says for one ball.", metres, MinMetres, MaxMetres));
        }

        if (grams is < MinGrams or > MaxGrams)
        {
            refusals.Add(Refusal.Invalid("band.grams", "{0} g on a band: {1} to {2:N0} g is allowed. Type what the band says for one ball.", grams, MinGrams, MaxGrams));
        }

        if (refusals.Count > 0)
        {
            return Outcome<Band>.Refused(refusals);
        }

        decimal ratio = metres * 100 / grams;
        return ratio is >= MinMetresPer100Grams and <= MaxMetresPer100Grams
            ? new Band(Length.FromMetres((double)metres), Mass.FromGrams(grams))
            : Refusal.Invalid("band.metres", "{0} m to {1} g is {2} m to 100 g: {3} to {4:N0} is allowed. Check that metres and grams are not mixed up.", metres, grams, Math.Round(ratio, 1), MinMetresPer100Grams, MaxMetresPer100Grams);
    }
}
