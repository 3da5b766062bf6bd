using GuildStash.Domain.Colours;

namespace GuildStash.Planning.Fitting;

/// <summary>
/// Which families stand out from each other when nothing but the family is known: all pairs but neighbours of the colour circle, light
/// and dark neutrals beside each other, and everything beside multicolour. Judgement.
/// </summary>
internal static class FamilyContrast
{
    private static readonly HashSet<(ColourFamily, ColourFamily)> Near =
    [
        (ColourFamily.Pink, ColourFamily.Red), (ColourFamily.Pink, ColourFamily.Purple), (ColourFamily.Pink, ColourFamily.Beige),
        (ColourFamily.Red, ColourFamily.Orange), (ColourFamily.Red, ColourFamily.Brown), (ColourFamily.Orange, ColourFamily.Yellow),
        (ColourFamily.Orange, ColourFamily.Brown), (ColourFamily.Yellow, ColourFamily.Beige), (ColourFamily.Green, ColourFamily.Teal),
        (ColourFamily.Teal, ColourFamily.Blue), (ColourFamily.Blue, ColourFamily.Purple), (ColourFamily.Brown, ColourFamily.Beige),
        (ColourFamily.Brown, ColourFamily.Black), (ColourFamily.Beige, ColourFamily.White), (ColourFamily.Beige, ColourFamily.Grey),
        (ColourFamily.Grey, ColourFamily.Black),
    ];

    public static bool StandOut(ColourFamily a, ColourFamily b) =>
        a != b && a != ColourFamily.Multicolour && b != ColourFamily.Multicolour && !Near.Contains((a, b)) && !Near.Contains((b, a));
}
