using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Planning.Problem;

namespace GuildStash.Planning.Fitting;

/// <summary>Whether a lot fits a part, and which rules it breaks where it doesn't.</summary>
internal static class LotRules
{
    public const string Thickness = "thickness";
    public const string Family = "colour-family";
    public const string Fibres = "only-fibres";

    /// <summary>Strands of the lot that make one strand of the part: 1, as many as stand in for a thicker yarn, or 0 where none do.</summary>
    public static int StrandsFor(PlanPart part, PlanLot lot, StrandSubstitutes substitutes) =>
        PartYarn.Choices(part, substitutes).FirstOrDefault(choice => choice.Takes(lot.WeightClass, lot.Yarn.Likely))?.Strands ?? 0;

    /// <summary>Class 4 without a trade name is admitted where both worsted and aran are, and admits both.</summary>
    public static bool Admits(IReadOnlyList<WeightClass> wanted, WeightClass own) => wanted.Contains(own) || own switch
    {
        WeightClass.Worsted or WeightClass.Aran => wanted.Contains(WeightClass.Medium),
        WeightClass.Medium => wanted.Contains(WeightClass.Worsted) && wanted.Contains(WeightClass.Aran),
        _ => false,
    };

    /// <summary>Keys and names of the rules that the lot breaks, in the order in which they are told; empty when it fits.</summary>
    public static IEnumerable<(string Key, Phrase Name)> Broken(PlanPiece piece, PlanPart part, PlanLot lot, StrandSubstitutes substitutes)
    {
        if (StrandsFor(part, lot, substitutes) == 0)
        {
            yield return (Thickness, ThicknessOf(part));
        }

        if (part.Colour is { Kind: ColourWishKind.Family, Family: { } family } && lot.ColourFamily != family)
        {
            yield return (Family, new Phrase("family {0}", (object)family.Key()));
        }

        RecipientRules rules = piece.Rules | part.Rules;
        HashSet<string> broken = rules == RecipientRules.None ? [] : [.. RecipientRuleBook.Check(rules, lot.Traits, lot.Code, piece.Name).Select(refusal => refusal.Rule)];
        foreach ((_, string key, string name) in RecipientRuleBook.Each.Where(rule => broken.Contains(rule.Key)))
        {
            yield return (key, new Phrase(name));
        }

        if (part.OnlyFibres.Count > 0 && (lot.Traits.Fibres.IsUnknown || lot.Traits.Fibres.Fibres.Any(fibre => !part.OnlyFibres.Contains(fibre.Code, StringComparer.OrdinalIgnoreCase))))
        {
            yield return (Fibres, new Phrase("only {0}", string.Join(", ", part.OnlyFibres)));
        }
    }

    private static Phrase ThicknessOf(PlanPart part) => part switch
    {
        { WeightClasses.Count: 0, Window: { } window } => new Phrase("{0} to {1} in 100 g", Length.Nearest(window.Low), Length.Nearest(window.High)),
        { Window: { } window } => new Phrase("class {0} and {1} to {2} in 100 g", ClassesOf(part), Length.Nearest(window.Low), Length.Nearest(window.High)),
        _ => new Phrase("class {0}", ClassesOf(part)),
    };

    private static string ClassesOf(PlanPart part) =>
        string.Join(" or ", part.WeightClasses.InWords().Select(each => each == WeightClass.Medium ? "worsted or aran" : each.Key()));
}
