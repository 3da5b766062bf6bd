using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Quantities;

/// <summary>What a lot and a bag may weigh. Judgement: far above any real one, low enough to catch a slip of the decimal point.</summary>
public static class MassLimits
{
    /// <summary>25 kg, in grams.</summary>
    public const int LotMaxGrams = 25_000;

    /// <summary>100 kg, in grams.</summary>
    public const int BagMaxGrams = 100_000;

    /// <summary>The mass of a lot: more than 0 g (at least a milligram after rounding), at most 25,000 g.</summary>
    /// <param name="grams">As typed.</param>
    /// <param name="field">Input field that a refusal names.</param>
    public static Outcome<Mass> LotMass(decimal grams, string field = "grams") => Within(grams, LotMaxGrams, field,
        "{0} g can't be the mass of a lot: more than 0 and at most {1:N0} g is allowed. Check the number and its unit, or split the lot.");

    /// <summary>The mass of a bag: more than 0 g (at least a milligram after rounding), at most 100,000 g.</summary>
    /// <inheritdoc cref="LotMass" path="/param"/>
    public static Outcome<Mass> BagMass(decimal grams, string field = "grossGrams") => Within(grams, BagMaxGrams, field,
        "{0} g can't be the mass of a bag: more than 0 and at most {1:N0} g is allowed. Check the number and its unit, or log several bags.");

    private static Outcome<Mass> Within(decimal grams, int max, string field, string text)
    {
        if (grams > 0 && grams <= max)
        {
            Mass mass = Mass.FromGrams(grams);
            if (mass > Mass.Zero)
            {
                return mass;
            }
        }

        return Refusal.Invalid(field, text, grams, max);
    }
}
