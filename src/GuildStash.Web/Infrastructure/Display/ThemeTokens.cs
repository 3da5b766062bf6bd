using System.Globalization;
using System.Text;
using MudBlazor;

namespace GuildStash.Web.Infrastructure.Display;

/// <summary>The colours of one theme, each a hex triplet. The yarn's own colours are the only others on a page.</summary>
/// <param name="Paper">The page's ground.</param>
/// <param name="Card">Ground of tables and panels.</param>
/// <param name="Tint">Ground of the row in hand and of what is chosen.</param>
/// <param name="Ink">Text.</param>
/// <param name="Soft">Secondary text.</param>
/// <param name="Line">Rules between things; carries no meaning of its own.</param>
/// <param name="Edge">Outline of inputs and swatches, at least 3:1 against every ground.</param>
/// <param name="Action">What can be done: links, buttons, focus.</param>
/// <param name="ActionInk">Text on <paramref name="Action"/>.</param>
/// <param name="Caution">Text of cautions and errors.</param>
/// <param name="CautionGround">Ground of cautions.</param>
/// <param name="Good">Text of what is free, done or safe.</param>
public sealed record ThemeColours(
    string Paper,
    string Card,
    string Tint,
    string Ink,
    string Soft,
    string Line,
    string Edge,
    string Action,
    string ActionInk,
    string Caution,
    string CautionGround,
    string Good)
{
    /// <summary>The CSS variables, one declaration a line.</summary>
    public string ToCss()
    {
        StringBuilder css = new();
        foreach ((string name, string value) in Variables())
        {
            css.Append(CultureInfo.InvariantCulture, $"  --{name}: {value};\n");
        }

        return css.ToString();
    }

    private IEnumerable<(string Name, string Value)> Variables() =>
    [
        ("paper", Paper), ("card", Card), ("tint", Tint), ("ink", Ink), ("soft", Soft), ("line", Line), ("edge", Edge),
        ("action", Action), ("action-ink", ActionInk), ("caution", Caution), ("caution-ground", CautionGround), ("good", Good),
    ];
}

/// <summary>The one place where colours, type, radii and steps are chosen; style sheet and component theme are made from it.</summary>
public static class ThemeTokens
{
    public const string FontFamily = "Atkinson Hyperlegible Next";

    public static readonly ThemeColours Light = new(
        Paper: "#faf8f4",
        Card: "#fffdf9",
        Tint: "#eff1f1",
        Ink: "#23272c",
        Soft: "#5f646b",
        Line: "#e3ded4",
        Edge: "#8a857b",
        Action: "#2b4a66",
        ActionInk: "#ffffff",
        Caution: "#8a4b08",
        CautionGround: "#fbf0dc",
        Good: "#2f5d3a");

    public static readonly ThemeColours Dark = new(
        Paper: "#15181b",
        Card: "#1c2024",
        Tint: "#252c33",
        Ink: "#ece9e2",
        Soft: "#a3a7ad",
        Line: "#31363b",
        Edge: "#7b8087",
        Action: "#9dc1e0",
        ActionInk: "#10202e",
        Caution: "#f0c27a",
        CautionGround: "#33280f",
        Good: "#9fd0aa");

    /// <summary>Sizes that both themes share: corner radii, spacing steps and type, in CSS units.</summary>
    public static readonly IReadOnlyList<(string Name, string Value)> Sizes =
    [
        ("radius", "10px"), ("radius-button", "8px"), ("radius-small", "6px"),
        ("step-1", "4px"), ("step-2", "8px"), ("step-3", "12px"), ("step-4", "18px"), ("step-5", "26px"), ("step-6", "44px"),
        ("text", "16px"), ("text-small", "14px"), ("text-tiny", "13px"), ("heading", "26px"), ("subheading", "17px"),
        ("target", "44px"), ("font", $"\"{FontFamily}\", system-ui, sans-serif"),
    ];

    /// <summary>The same tokens as a theme of the component library.</summary>
    public static MudTheme ForComponents() => new()
    {
        PaletteLight = Fill(new PaletteLight(), Light),
        PaletteDark = Fill(new PaletteDark(), Dark),
        LayoutProperties = new LayoutProperties { DefaultBorderRadius = "8px" },
        Typography = Type(),
        Shadows = new Shadow { Elevation = [.. Enumerable.Repeat("none", 26)] },
    };

    private static T Fill<T>(T palette, ThemeColours colours)
        where T : Palette
    {
        palette.Background = colours.Paper;
        palette.BackgroundGray = colours.Tint;
        palette.Surface = colours.Card;
        palette.DrawerBackground = colours.Card;
        palette.DrawerText = colours.Ink;
        palette.DrawerIcon = colours.Soft;
        palette.AppbarBackground = colours.Paper;
        palette.AppbarText = colours.Ink;
        palette.TextPrimary = colours.Ink;
        palette.TextSecondary = colours.Soft;
        palette.TextDisabled = colours.Soft;
        palette.ActionDefault = colours.Soft;
        palette.ActionDisabled = colours.Edge;
        palette.ActionDisabledBackground = colours.Line;
        palette.Primary = palette.Info = palette.Tertiary = colours.Action;
        palette.PrimaryContrastText = palette.InfoContrastText = palette.TertiaryContrastText = colours.ActionInk;
        palette.Secondary = palette.Dark = colours.Soft;
        palette.SecondaryContrastText = palette.DarkContrastText = colours.Card;
        palette.Success = colours.Good;
        palette.SuccessContrastText = colours.Card;
        palette.Warning = palette.Error = colours.Caution;
        palette.WarningContrastText = palette.ErrorContrastText = colours.CautionGround;
        palette.Divider = palette.DividerLight = palette.TableLines = palette.LinesDefault = colours.Line;
        palette.LinesInputs = colours.Edge;
        palette.TableHover = palette.TableStriped = palette.Skeleton = colours.Tint;
        palette.BorderOpacity = 1;
        return palette;
    }

    private static Typography Type()
    {
        string[] family = [FontFamily, "system-ui", "sans-serif"];
        return new()
        {
            Default = new DefaultTypography { FontFamily = family, FontSize = "1rem", LineHeight = "1.5", LetterSpacing = "normal" },
            H1 = new H1Typography { FontFamily = family, FontSize = "1.625rem", FontWeight = "700", LineHeight = "1.25", LetterSpacing = "-.015em" },
            H2 = new H2Typography { FontFamily = family, FontSize = "1.0625rem", FontWeight = "700", LineHeight = "1.4", LetterSpacing = "normal" },
            H6 = new H6Typography { FontFamily = family, FontSize = "1.0625rem", FontWeight = "700", LineHeight = "1.4", LetterSpacing = "normal" },
            Body1 = new Body1Typography { FontFamily = family, FontSize = "1rem", LineHeight = "1.5", LetterSpacing = "normal" },
            Body2 = new Body2Typography { FontFamily = family, FontSize = "1rem", LineHeight = "1.5", LetterSpacing = "normal" },
            Subtitle1 = new Subtitle1Typography { FontFamily = family, FontSize = "1rem", LineHeight = "1.5", LetterSpacing = "normal" },
            Subtitle2 = new Subtitle2Typography { FontFamily = family, FontSize = ".875rem", LineHeight = "1.5", LetterSpacing = "normal" },
            Button = new ButtonTypography { FontFamily = family, FontSize = "1rem", FontWeight = "700", LetterSpacing = "normal", TextTransform = "none" },
            Caption = new CaptionTypography { FontFamily = family, FontSize = ".875rem", LineHeight = "1.5", LetterSpacing = "normal" },
        };
    }
}
