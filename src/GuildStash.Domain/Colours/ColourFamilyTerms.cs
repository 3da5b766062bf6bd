using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Colours;

/// <summary>Keys and names of the colour families, in shelf order.</summary>
public static class ColourFamilyTerms
{
    private static readonly Terms<ColourFamily> Words = new(
        (ColourFamily.Pink, "pink", "Pink"),
        (ColourFamily.Red, "red", "Red"),
        (ColourFamily.Orange, "orange", "Orange"),
        (ColourFamily.Yellow, "yellow", "Yellow"),
        (ColourFamily.Green, "green", "Green"),
        (ColourFamily.Teal, "teal", "Teal"),
        (ColourFamily.Blue, "blue", "Blue"),
        (ColourFamily.Purple, "purple", "Purple"),
        (ColourFamily.Brown, "brown", "Brown"),
        (ColourFamily.Beige, "beige", "Beige"),
        (ColourFamily.White, "white", "White"),
        (ColourFamily.Grey, "grey", "Grey"),
        (ColourFamily.Black, "black", "Black"),
        (ColourFamily.Multicolour, "multicolour", "Multicolour"));

    public static IReadOnlyCollection<string> Keys => Words.Keys;

    public static string Key(this ColourFamily family) => Words.Key(family);

    public static Phrase Name(this ColourFamily family) => Words.Name(family);

    public static bool TryParse(string? key, out ColourFamily family) => Words.TryParse(key, out family);
}
