using System.Globalization;
using GuildStash.Web.Infrastructure.Display;
using Xunit;

namespace GuildStash.Web.Tests.Display;

/// <summary>Contrast as WCAG 2.2 computes it (success criteria 1.4.3 and 1.4.11, relative luminance of sRGB).</summary>
public sealed class ThemeTests
{
    private const double TextMinimum = 4.5;
    private const double GraphicsMinimum = 3;

    public static TheoryData<string, ThemeColours> Themes => new() { { "light", ThemeTokens.Light }, { "dark", ThemeTokens.Dark } };

    [Theory]
    [MemberData(nameof(Themes))]
    public void KnownPairs_OfText_ReachFourAndAHalf(string theme, ThemeColours colours)
    {
        (string Name, string Text, string Ground)[] pairs =
        [
            .. from ground in Grounds(colours)
               from text in new[]
               {
                   (nameof(colours.Ink), colours.Ink), (nameof(colours.Soft), colours.Soft), (nameof(colours.Action), colours.Action),
                   (nameof(colours.Caution), colours.Caution), (nameof(colours.Good), colours.Good),
               }
               select ($"{text.Item1} on {ground.Name}", text.Item2, ground.Colour),
            ("Caution on its ground", colours.Caution, colours.CautionGround),
            ("Words on action", colours.ActionInk, colours.Action),
        ];

        Assert.All(pairs, pair => AssertContrast(theme, pair.Name, pair.Text, pair.Ground, TextMinimum));
    }

    [Theory]
    [MemberData(nameof(Themes))]
    public void KnownPairs_OfOutlines_ReachThree(string theme, ThemeColours colours) =>
        Assert.All(Grounds(colours), ground =>
        {
            AssertContrast(theme, $"Edge on {ground.Name}", colours.Edge, ground.Colour, GraphicsMinimum);
            AssertContrast(theme, $"Focus on {ground.Name}", colours.Action, ground.Colour, GraphicsMinimum);
        });

    [Theory]
    [InlineData("#000000", "#ffffff", 21)]
    [InlineData("#777777", "#ffffff", 4.48)]
    public void KnownContrast_OfGreys_IsAsPublished(string one, string other, double expected) =>
        Assert.Equal(expected, Contrast(one, other), 0.005);

    private static IEnumerable<(string Name, string Colour)> Grounds(ThemeColours colours) =>
        [(nameof(colours.Paper), colours.Paper), (nameof(colours.Card), colours.Card), (nameof(colours.Tint), colours.Tint)];

    private static void AssertContrast(string theme, string pair, string one, string other, double minimum)
    {
        double contrast = Contrast(one, other);
        Assert.True(contrast >= minimum, FormattableString.Invariant($"{theme}: {pair} has {contrast:0.00}, needs {minimum}."));
    }

    private static double Contrast(string one, string other)
    {
        (double a, double b) = (Luminance(one), Luminance(other));
        return (Math.Max(a, b) + 0.05) / (Math.Min(a, b) + 0.05);
    }

    private static double Luminance(string hex)
    {
        double Channel(int at)
        {
            double value = int.Parse(hex.AsSpan(at, 2), NumberStyles.HexNumber, CultureInfo.InvariantCulture) / 255.0;
            return value <= 0.04045 ? value / 12.92 : Math.Pow((value + 0.055) / 1.055, 2.4);
        }

        return (0.2126 * Channel(1)) + (0.7152 * Channel(3)) + (0.0722 * Channel(5));
    }
}
