using System.Globalization;
using GuildStash.Domain.Colours;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Display;

namespace GuildStash.Web.Features.Inventory;

/// <summary>A block's look: its yarn's colour, and an outline where that colour would not stand out from its ground.</summary>
internal static class WallBlockStyle
{
    private static readonly Colour[] LightGrounds = Grounds(ThemeTokens.Light);
    private static readonly Colour[] DarkGrounds = Grounds(ThemeTokens.Dark);

    /// <param name="family">What somebody chose where nobody picked the yarn's own colour: it is drawn in the family's, hatched.</param>
    public static string Class(WallBlock block, ColourFamily? family)
    {
        string dot = block.MetresLow is null ? " unmeasured" : "";
        string hatch = block.ColourHex is null ? " by-family" : "";
        return Paint(block, family) is { } colour ? $"yarn{hatch}{dot}{OutlineClass(colour)}" : $"yarn no-colour{dot}";
    }

    public static string Style(WallBlock block, ColourFamily? family, WallScale scale)
    {
        string side = Pixels(scale.Side(block.MetresLow));
        string size = $"width:{side};height:{side}";
        string layer = block.ColourHex is null ? "background-color" : "background";
        return Paint(block, family) is { } colour ? $"{size};{layer}:{colour.Hex}" : size;
    }

    /// <summary>" pale" where it needs an outline on the light ground, " deep" on the dark one; a middle tone may need both.</summary>
    public static string OutlineClass(Colour colour) => (Faint(colour, LightGrounds) ? " pale" : "") + (Faint(colour, DarkGrounds) ? " deep" : "");

    public static string Pixels(double pixels) => pixels.ToString("0.#", CultureInfo.InvariantCulture) + "px";

    private static Colour? Paint(WallBlock block, ColourFamily? family) =>
        Colour.TryParse(block.ColourHex ?? (family is { } known ? FamilySwatches.Of(known) : null), out Colour colour) ? colour : null;

    private static bool Faint(Colour colour, Colour[] grounds) => grounds.Any(ground => Contrast.Ratio(colour, ground) < Contrast.Graphics);

    /// <summary>A cell's ground lies between the two.</summary>
    private static Colour[] Grounds(ThemeColours theme) => [Colour.Parse(theme.Card).Value, Colour.Parse(theme.Line).Value];
}
