using System.Globalization;
using GuildStash.Domain.Colours;
using GuildStash.Web.Infrastructure.Display;

namespace GuildStash.Web.Features.Inventory;

/// <summary>A block's look: its yarn's colour, and an outline where that colour would not stand out from its ground.</summary>
internal static class WallBlockStyle
{
    private static readonly Colour[] LightGrounds = Grounds(ThemeTokens.Light);
    private static readonly Colour[] DarkGrounds = Grounds(ThemeTokens.Dark);

    public static string Class(WallBlock block)
    {
        string dot = block.MetresLow is null ? " unmeasured" : "";
        return block.ColourHex is { } hex && Colour.TryParse(hex, out Colour colour)
            ? $"yarn{dot}{OutlineClass(colour)}"
            : $"yarn no-colour{dot}";
    }

    public static string Style(WallBlock block, WallScale scale)
    {
        string side = Pixels(scale.Side(block.MetresLow));
        string size = $"width:{side};height:{side}";
        return block.ColourHex is { } hex && Colour.TryParse(hex, out Colour colour) ? $"{size};background:{colour.Hex}" : size;
    }

    /// <summary>" pale" where it needs an outline on the light ground, " deep" on the dark one; a middle tone may need both.</summary>
    public static string OutlineClass(Colour colour) => (Faint(colour, LightGrounds) ? " pale" : "") + (Faint(colour, DarkGrounds) ? " deep" : "");

    public static string Pixels(double pixels) => pixels.ToString("0.#", CultureInfo.InvariantCulture) + "px";

    private static bool Faint(Colour colour, Colour[] grounds) => grounds.Any(ground => Contrast.Ratio(colour, ground) < Contrast.Graphics);

    /// <summary>A cell's ground lies between the two.</summary>
    private static Colour[] Grounds(ThemeColours theme) => [Colour.Parse(theme.Card).Value, Colour.Parse(theme.Line).Value];
}
