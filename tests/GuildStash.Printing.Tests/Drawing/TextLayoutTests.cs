using CsCheck;
using GuildStash.Printing.Drawing;

namespace GuildStash.Printing.Tests.Drawing;

public sealed class TextLayoutTests
{
    private const double Slack = 1e-6;

    private static readonly TextStyle Style = new(9);

    private static readonly Gen<string> Sentence =
        Gen.String[Gen.Char["abcdefghijklmnopqrstuvwxyzÄŁΩЖ≥ \n"], 0, 200];

    [Fact]
    public void Wrap_OfAnyText_KeepsEveryLineInTheWidthAndEveryLetter() =>
        Gen.Select(Sentence, Gen.Double[6, 80]).Sample((text, width) =>
        {
            IReadOnlyList<string> lines = TextLayout.Wrap(text, width, Style, int.MaxValue - 1);
            return lines.All(line => TextLayout.Width(line, Style) <= width + Slack)
                && Letters(string.Concat(lines)) == Letters(text);
        });

    [Fact]
    public void Wrap_WhenLinesAreTooFew_EndsWithAnEllipsisInTheWidth() =>
        Gen.Select(Sentence, Gen.Double[10, 40], Gen.Int[1, 3]).Sample((text, width, mostLines) =>
        {
            IReadOnlyList<string> lines = TextLayout.Wrap(text, width, Style, mostLines);
            bool isCut = TextLayout.Wrap(text, width, Style, mostLines + 1).Count > mostLines;
            return lines.Count <= mostLines
                && lines.All(line => TextLayout.Width(line, Style) <= width + Slack)
                && (!isCut || lines[^1].EndsWith('…'));
        });

    [Fact]
    public void Fit_OfAnyText_StaysInTheWidthAndAboveTheSmallestSize() =>
        Gen.Select(Sentence, Gen.Double[5, 100]).Sample((text, width) =>
        {
            (string line, TextStyle fitted) = TextLayout.Fit(text, width, Style, 6);
            return TextLayout.Width(line, fitted) <= width + Slack && fitted.Size is >= 6 and <= 9 && !line.Contains('\n');
        });

    [Fact]
    public void WrapToFit_BeforeAnythingIsCut_TriesSmallerLetters()
    {
        const string Text = "test consistent with cotton";
        double width = TextLayout.Width("test consistent", Style) - 0.5;
        (IReadOnlyList<string> lines, TextStyle fitted) = TextLayout.WrapToFit(Text, width, Style, 2);
        Assert.Equal(["test consistent", "with cotton"], lines);
        Assert.InRange(fitted.Size, Style.Size * 0.8, Style.Size - 0.01);
    }

    [Fact]
    public void ExtremeText_OfTenThousandCharactersWithoutABlank_IsCutToItsLines()
    {
        IReadOnlyList<string> lines = TextLayout.Wrap(new string('x', 10_000), 50, Style, 8);
        Assert.Equal(8, lines.Count);
        Assert.EndsWith("…", lines[^1], StringComparison.Ordinal);
    }

    private static string Letters(string text) => text.Replace(" ", string.Empty).Replace("\n", string.Empty);
}
