using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Measuring;

/// <summary>One strand of several held together, while it is typed in.</summary>
public sealed class HeldStrandForm
{
    /// <summary>In 100 g, in the person's unit.</summary>
    public decimal? LengthPer100Grams { get; set; }

    /// <summary>Where no length is known.</summary>
    public WeightClass? WeightClass { get; set; }

    public decimal? WrapsPerInch { get; set; }

    /// <summary>Grams of it in hand; empty where that does not matter.</summary>
    public decimal? Grams { get; set; }
}

/// <summary>One strand as it counts.</summary>
/// <param name="Low">Its length per mass that may be promised.</param>
/// <param name="Likely">Its median; the same where a length was entered.</param>
/// <param name="Wraps">Wraps per inch, counted or usual for its class; null where neither is known.</param>
/// <param name="InHand">Length of the grams in hand that may be promised; null without grams.</param>
public sealed record HeldStrand(LinearDensity Low, LinearDensity Likely, double? Wraps, Length? InHand);

/// <summary>What strands make together; without the database.</summary>
/// <param name="Strands">Those that say something, in their order.</param>
/// <param name="Low">Length per mass of all together that may be promised.</param>
/// <param name="Likely">Its median.</param>
/// <param name="WeightClass">The class of that length.</param>
/// <param name="RoundWraps">Wraps per inch where they lie together as round as one yarn; null where one strand's are not known.</param>
/// <param name="FlatWraps">The same where they lie flat beside each other.</param>
/// <param name="InHand">How far the grams in hand go, as far as the shortest strand; null where one has no grams.</param>
public sealed record HeldTogether(
    IReadOnlyList<HeldStrand> Strands, LinearDensity Low, LinearDensity Likely, WeightClass WeightClass, double? RoundWraps, double? FlatWraps, Length? InHand);

/// <summary>Reads strands that are to be held together.</summary>
public static class HeldYarns
{
    public const int FewestStrands = 2;

    /// <summary>Longest piece that is reckoned for.</summary>
    public const decimal MostMetres = 100_000;

    /// <summary>Name of a field of one strand.</summary>
    public static string Field(int at, string part) => $"held[{at}].{part}";

    /// <returns>What they make together, null while fewer than two strands say something; or refusals beside their fields.</returns>
    public static Outcome<HeldTogether?> Of(IReadOnlyList<HeldStrandForm> forms, YardageRules rules, PersonDisplay display)
    {
        Check check = new();
        List<HeldStrand> strands = [];
        for (int i = 0; i < forms.Count; i++)
        {
            if (Read(forms[i], i, rules, display, check) is { } strand)
            {
                strands.Add(strand);
            }
        }

        if (check.Failed)
        {
            return check.Refuse<HeldTogether?>();
        }

        return strands.Count < FewestStrands || strands.Count > HeldStrands.MostStrands ? (HeldTogether?)null : Together(strands, rules.Table);
    }

    /// <summary>Grams of a strand that a length needs, by what may be promised of it; rounded up to a whole gram.</summary>
    public static long Milligrams(HeldStrand strand, double metres) => (long)Math.Ceiling(metres * 100 / strand.Low.MetresPer100Grams - 1e-9) * 1000;

    private static HeldTogether Together(List<HeldStrand> strands, WeightClassTable table)
    {
        LinearDensity low = HeldStrands.Together([.. strands.Select(strand => strand.Low)]);
        LinearDensity likely = HeldStrands.Together([.. strands.Select(strand => strand.Likely)]);
        double[] wraps = [.. strands.Select(strand => strand.Wraps).OfType<double>()];
        bool isWrapped = wraps.Length == strands.Count;
        Length? inHand = strands.All(strand => strand.InHand is not null)
            ? strands.Select(strand => strand.InHand!.Value).Aggregate(HeldStrands.FromTwoLots)
            : null;
        return new(strands, low, likely, table.FromDensity(likely), isWrapped ? HeldStrands.RoundWraps(wraps) : null, isWrapped ? HeldStrands.FlatWraps(wraps) : null, inHand);
    }

    private static HeldStrand? Read(HeldStrandForm form, int at, YardageRules rules, PersonDisplay display, Check check)
    {
        double? metres = form.LengthPer100Grams is { } typed ? display.ToMetres((double)typed) : null;
        check.That(metres is null or (>= Band.MinMetresPer100Grams and <= Band.MaxMetresPer100Grams), Field(at, "length"),
            "A yarn of {0} in 100 g: {1} to {2} is allowed.", Length.FromMetres(Math.Clamp(metres ?? 0, -1e9, 1e9)), Length.FromMetres(Band.MinMetresPer100Grams), Length.FromMetres(Band.MaxMetresPer100Grams));
        check.That(form.WrapsPerInch is null or (>= Wraps.MinPerInch and <= Wraps.MaxPerInch), Field(at, "wraps"),
            "{0} wraps per inch: {1} to {2} are allowed.", form.WrapsPerInch ?? 0, Wraps.MinPerInch, Wraps.MaxPerInch);
        Mass? mass = form.Grams is { } grams ? check.Take(MassLimits.LotMass(grams, Field(at, "grams"))) : null;
        if (check.Failed)
        {
            return null;
        }

        YardageEstimate? ofClass = metres is null && form.WeightClass is { } named ? rules.Estimate(new YarnEvidence { AssertedClass = named }) : null;
        if (metres is null && ofClass is null)
        {
            return null;
        }

        LinearDensity low = metres is { } own ? LinearDensity.FromMetresPer100Grams(own) : ofClass!.Low;
        LinearDensity likely = metres is not null ? low : ofClass!.Likely;
        double? wraps = (double?)form.WrapsPerInch ?? form.WeightClass?.TypicalWraps();
        return new(low, likely, wraps, mass is { } inHand ? low.LengthOf(inHand) : null);
    }
}
