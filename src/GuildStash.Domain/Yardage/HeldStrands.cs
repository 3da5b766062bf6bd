using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>Strands worked together as one.</summary>
public static class HeldStrands
{
    public const int MostStrands = 12;

    /// <summary>Length per mass of different yarns held together, exact: 1/Y = Σ 1/Yᵢ.</summary>
    /// <exception cref="ArgumentOutOfRangeException">No strand, more than 12, or one that has no length.</exception>
    public static LinearDensity Together(params ReadOnlySpan<LinearDensity> strands)
    {
        Guard.InRange(strands.Length, 1, MostStrands, nameof(strands));
        double sum = 0;
        foreach (LinearDensity strand in strands)
        {
            sum += 1 / strand.MetresPer100Grams;
        }

        return LinearDensity.FromMetresPer100Grams(1 / sum);
    }

    /// <summary>Wraps of strands that lie together as round as one yarn: 1/W² = Σ 1/Wᵢ² (their sections add; computed).</summary>
    /// <exception cref="ArgumentOutOfRangeException">No strand, more than 12, or wraps that are not more than 0.</exception>
    public static double RoundWraps(params ReadOnlySpan<double> perInch) => 1 / Math.Sqrt(Sum(perInch, w => 1 / (w * w)));

    /// <summary>Wraps of strands that lie flat beside each other: 1/W = Σ 1/Wᵢ (their widths add; computed).</summary>
    /// <exception cref="ArgumentOutOfRangeException">No strand, more than 12, or wraps that are not more than 0.</exception>
    public static double FlatWraps(params ReadOnlySpan<double> perInch) => 1 / Sum(perInch, w => 1 / w);

    /// <summary>What one lot is good for when all strands come from it.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Not 1 to 12 strands.</exception>
    public static Length FromOneLot(Length length, int strands) => Length.FromMetres(length.Metres / Guard.InRange(strands, 1, MostStrands, nameof(strands)));

    /// <summary>What two lots are good for with one strand from each: the shorter ends first.</summary>
    public static Length FromTwoLots(Length one, Length other) => Length.Min(one, other);

    private static double Sum(ReadOnlySpan<double> perInch, Func<double, double> of)
    {
        Guard.InRange(perInch.Length, 1, MostStrands, nameof(perInch));
        double sum = 0;
        foreach (double wraps in perInch)
        {
            sum += of(Guard.InRange(wraps, 1e-6, 1e6, nameof(perInch)));
        }

        return sum;
    }
}

/// <summary>So many strands of one class stand in for another.</summary>
/// <param name="From">Class of each strand.</param>
/// <param name="Strands">How many, 2 to 12.</param>
/// <param name="To">The class they stand in for.</param>
public sealed record StrandSubstitute(WeightClass From, int Strands, WeightClass To);

/// <summary>A guild's rules for strands that stand in for a thicker yarn; teachers differ, so a guild may edit them.</summary>
public sealed class StrandSubstitutes
{
    public const int MostRules = 50;
    private const string Field = "substitutes";

    private StrandSubstitutes(IReadOnlyList<StrandSubstitute> rules) => Rules = rules;

    /// <summary>Two strands of DK for bulky: common practice.</summary>
    public static StrandSubstitutes Default { get; } = new([new(WeightClass.Dk, 2, WeightClass.Bulky)]);

    public IReadOnlyList<StrandSubstitute> Rules { get; }

    /// <returns>The rules, or a refusal for each that can't be one, with field "substitutes".</returns>
    public static Outcome<StrandSubstitutes> Create(IEnumerable<StrandSubstitute> rules)
    {
        StrandSubstitute[] all = [.. rules.Take(MostRules + 1)];
        List<Refusal> refusals = [];
        if (all.Length > MostRules)
        {
            refusals.Add(Refusal.Invalid(Field, "At most {0} rules for strands are kept.", MostRules));
        }

        foreach (StrandSubstitute rule in all)
        {
            if (!Enum.IsDefined(rule.From) || !Enum.IsDefined(rule.To) || rule.Strands is < 2 or > HeldStrands.MostStrands)
            {
                refusals.Add(Refusal.Invalid(Field, "{0} strands held together: 2 to {1} of a known class are allowed.", rule.Strands, HeldStrands.MostStrands));
            }
            else if (rule.To.StandardNumber() <= rule.From.StandardNumber())
            {
                refusals.Add(Refusal.Invalid(Field, "{0} strands of {1} can't stand in for {2}: strands together are thicker than one.", rule.Strands, rule.From.Name(), rule.To.Name()));
            }
        }

        foreach (IGrouping<(WeightClass, int), StrandSubstitute> twice in all.GroupBy(rule => (rule.From, rule.Strands)).Where(same => same.Count() > 1))
        {
            refusals.Add(Refusal.Invalid(Field, "There are {0} rules for {1} strands of \"{2}\": keep one.", twice.Count(), twice.First().Strands, (object)twice.First().From.Key()));
        }

        return refusals.Count > 0 ? Outcome<StrandSubstitutes>.Refused(refusals) : new StrandSubstitutes(all);
    }

    /// <summary>What so many strands of a class stand in for; null where no rule says so.</summary>
    public WeightClass? StandInFor(WeightClass from, int strands) => Rules.FirstOrDefault(rule => rule.From == from && rule.Strands == strands)?.To;
}
