using System.Text;
using CsCheck;
using GuildStash.Printing.Fonts;

namespace GuildStash.Printing.Tests.Fonts;

public sealed class PrintableTextTests
{
    [Fact]
    public void KnownOwnTexts_AllHaveGlyphs()
    {
        Assert.NotEmpty(PrintWords.All);
        foreach (string text in PrintWords.All.Concat(LabelSheetLayout.All.Select(layout => layout.Name)))
        {
            Assert.Equal(text, PrintableText.Clean(text));
        }
    }

    [Theory]
    [InlineData("日本", "??")]
    [InlineData("a\uD83D\uDE00b", "a?b")]
    [InlineData("e\u0301", "é")]
    [InlineData("one\ttwo\u2003three", "one two three")]
    [InlineData("one\r\ntwo\u2028three", "one\ntwo\nthree")]
    [InlineData("safe\u202Etxt\u200B\u00AD\u0007", "safetxt")]
    [InlineData("1\u202F203\u00A0g", "1\u00A0203\u00A0g")]
    [InlineData("✓\uFE0F", "✓")]
    public void KnownTexts_BecomePrintable(string text, string expected) =>
        Assert.Equal(expected, PrintableText.Clean(text));

    [Fact]
    public void InvalidSurrogate_IsVisible()
    {
        string clean = PrintableText.Clean("a\uD800b");
        Assert.Equal(3, clean.Length);
        Assert.Equal(('a', 'b'), (clean[0], clean[2]));
    }

    [Fact]
    public void Runs_WhereTextFontHasAGap_SwitchToFallbackAndBack()
    {
        IReadOnlyList<TextRun> runs = PrintableText.Runs("low ≥ 255", bold: true);
        Assert.Equal(["low ", "≥", " 255"], runs.Select(run => run.Text));
        Assert.Equal([FontLibrary.Bold, FontLibrary.Fallback, FontLibrary.Bold], runs.Select(run => run.Face));
    }

    [Fact]
    public void Clean_OfAnyText_LeavesOnlyCharactersWithGlyphs() =>
        Gen.String.Sample(
            text =>
            {
                string clean = PrintableText.Clean(text);
                bool printable = clean.EnumerateRunes().All(rune => rune.Value == '\n' || HasGlyph(rune));
                return printable && PrintableText.Clean(clean) == clean && string.Concat(PrintableText.Runs(clean, bold: false).Select(run => run.Text)) == clean;
            },
            iter: 2000,
            print: text => string.Join(' ', text.Select(unit => $"{(int)unit:X4}")));

    private static bool HasGlyph(Rune rune) => FontLibrary.Regular.Has(rune) || FontLibrary.Fallback.Has(rune);
}
