using System.Text.RegularExpressions;
using GuildStash.Web.Infrastructure.Display;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using Xunit;

namespace GuildStash.Web.Tests.Components;

public sealed partial class ThemeStyleSheetTests : ShellTest
{
    [Fact]
    public async Task Build_WhenAsked_HoldsOurTokensAndThoseOfTheComponentsInBothThemes()
    {
        string css = await new ThemeStyleSheet(Ui.Services, NullLoggerFactory.Instance).CssAsync();
        string light = Block(css, ":root {");
        string dark = Block(css, ":root[data-theme=dark] {");

        Assert.Contains($"--ink: {ThemeTokens.Light.Ink};", light, StringComparison.Ordinal);
        Assert.Contains($"--ink: {ThemeTokens.Dark.Ink};", dark, StringComparison.Ordinal);
        Assert.Contains("--mud-palette-primary: rgba(43,74,102,1);", light, StringComparison.Ordinal);
        Assert.Contains("--mud-palette-primary: rgba(157,193,224,1);", dark, StringComparison.Ordinal);
        Assert.Contains(dark, Block(css, "@media screen and (prefers-color-scheme: dark) {"), StringComparison.Ordinal);
    }

    [Fact]
    public void Use_WhenAStyleSheetNamesAVariable_ItIsOneOfTheTokens()
    {
        HashSet<string> known = [.. Declared().Matches(ThemeTokens.Light.ToCss()).Select(match => match.Groups[1].Value)];
        known.UnionWith(ThemeTokens.Sizes.Select(size => size.Name));
        string[] sheets = Directory.GetFiles(Path.Combine(WebRoot(), "css"), "*.css");

        Assert.NotEmpty(sheets);
        Assert.All(sheets, sheet => Assert.All(
            Used().Matches(File.ReadAllText(sheet)),
            match => Assert.Contains(match.Groups[1].Value, known)));
    }

    [Fact]
    public void Use_WhenAStyleSheetNeedsAColour_ItTakesAToken() =>
        Assert.All(
            Directory.GetFiles(Path.Combine(WebRoot(), "css"), "*.css"),
            sheet => Assert.DoesNotMatch(HexColour(), File.ReadAllText(sheet)));

    private static string WebRoot()
    {
        DirectoryInfo? at = new(AppContext.BaseDirectory);
        while (at is not null && !File.Exists(Path.Combine(at.FullName, "GuildStash.sln")))
        {
            at = at.Parent;
        }

        return Path.Combine(at!.FullName, "src", "GuildStash.Web", "wwwroot");
    }

    private static string Block(string css, string opening)
    {
        int start = css.IndexOf(opening, StringComparison.Ordinal) + opening.Length;
        return css[start..css.IndexOf('}', start)];
    }

    [GeneratedRegex(@"--([a-z0-9-]+):")]
    private static partial Regex Declared();

    [GeneratedRegex(@"var\(--([a-z0-9-]+)")]
    private static partial Regex Used();

    [GeneratedRegex(@"(?<![\w-])#[0-9a-fA-F]{3,8}\b(?=[^{}]*[;}])")]
    private static partial Regex HexColour();
}
