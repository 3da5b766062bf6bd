using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Counting;

/// <summary>What can be said about a scale and about a mass that it shows.</summary>
public static class ScaleRules
{
    /// <summary>Below so many divisions the rounding alone is more than 5 % (computed: ±1 d of 20 d, since gross and tare both round).</summary>
    public const int FewDivisions = 20;

    /// <summary>Milligrams; a scale that reads coarser weighs no yarn.</summary>
    public const long LargestDivisionMg = 1_000_000;

    /// <summary>Months after which a check with a known mass is old (a judgement; local rules for trade may ask for more).</summary>
    public const int CheckMonths = 12;

    /// <summary>A caution for a mass that the scale can't tell well; null where it can, or where nothing is known of the scale.</summary>
    /// <param name="mg">Net milligrams that it shows.</param>
    public static Phrase? TooCoarse(long mg, long? divisionMg)
    {
        if (divisionMg is not (> 0 and { } d) || mg <= 0 || mg >= FewDivisions * d)
        {
            return null;
        }

        long percent = (long)Math.Round(100.0 * d / mg);
        return new Phrase("{0} on a scale that shows {1} is sure to ±{2} % only. Use a finer one if there is one.", Mass.FromMilligrams(mg), Mass.FromMilligrams(d), percent);
    }

    /// <summary>Whether a check with a known mass shows the scale to be right: within one division.</summary>
    public static bool IsRight(long nominalMg, long shownMg, long divisionMg) => Math.Abs(shownMg - nominalMg) <= divisionMg;
}
