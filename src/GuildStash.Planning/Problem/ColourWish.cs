using GuildStash.Domain.Colours;

namespace GuildStash.Planning.Problem;

/// <summary>What a part asks of its colour.</summary>
public enum ColourWishKind
{
    /// <summary>Any colours, mixed where lots are joined.</summary>
    Any = 0,

    /// <summary>The whole part from one lot.</summary>
    OneLot = 1,

    /// <summary>One named family.</summary>
    Family = 2,

    /// <summary>Any family, but only one in a piece.</summary>
    OneFamily = 3,

    /// <summary>So many families, each with an equal share of the length.</summary>
    Palette = 4,

    /// <summary>One family that stands out from that of another part.</summary>
    Contrast = 5,

    /// <summary>The family of another part.</summary>
    Match = 6,
}

/// <summary>The colour wish of a part.</summary>
/// <param name="Family">For <see cref="ColourWishKind.Family"/>.</param>
/// <param name="Count">For <see cref="ColourWishKind.Palette"/>: 2 to 13 families.</param>
/// <param name="OtherPart">For contrast and match: name of an earlier part of the piece that has one family itself.</param>
/// <param name="Target">A colour to come near to, in the last stage only; null asks for none.</param>
public sealed record ColourWish(ColourWishKind Kind, ColourFamily? Family = null, int Count = 1, string? OtherPart = null, Colour? Target = null)
{
    public const int MostFamilies = 13;

    public static ColourWish Any { get; } = new(ColourWishKind.Any);

    public static ColourWish OneLot { get; } = new(ColourWishKind.OneLot);

    public static ColourWish OneFamily { get; } = new(ColourWishKind.OneFamily);

    public static ColourWish Of(ColourFamily family) => new(ColourWishKind.Family, family);

    public static ColourWish Palette(int families) => new(ColourWishKind.Palette, Count: families);

    public static ColourWish ContrastTo(string part) => new(ColourWishKind.Contrast, OtherPart: part);

    public static ColourWish MatchTo(string part) => new(ColourWishKind.Match, OtherPart: part);

    /// <summary>As the API writes it: any, oneLot, oneFamily, family:blue, palette:5, contrast:Body, match:Body; null is any.</summary>
    public static bool TryParse(string? text, out ColourWish wish)
    {
        string[] words = (text ?? "any").Trim().Split(':', 2, StringSplitOptions.TrimEntries);
        string value = words.Length > 1 ? words[1] : "";
        ColourWish? read = (words[0].ToUpperInvariant(), words.Length) switch
        {
            ("ANY", 1) => Any,
            ("ONELOT", 1) => OneLot,
            ("ONEFAMILY", 1) => OneFamily,
            ("FAMILY", 2) when ColourFamilyTerms.TryParse(value, out ColourFamily family) => Of(family),
            ("PALETTE", 2) when value.Length is 1 or 2 && value.All(char.IsAsciiDigit) => Palette(int.Parse(value, System.Globalization.CultureInfo.InvariantCulture)),
            ("CONTRAST", 2) when value.Length > 0 => ContrastTo(value),
            ("MATCH", 2) when value.Length > 0 => MatchTo(value),
            _ => null,
        };
        wish = read ?? Any;
        return read is not null;
    }

    /// <summary>Whether all yarn of the part is of one family, so that other parts can match it or stand out from it.</summary>
    internal bool HasOneFamily => Kind is not (ColourWishKind.Any or ColourWishKind.Palette);
}
