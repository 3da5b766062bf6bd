using System.Globalization;
using System.Text;

namespace GuildStash.Printing.Fonts;

/// <summary>A stretch of text in one font.</summary>
internal readonly record struct TextRun(FontFace Face, string Text);

/// <summary>
/// Makes any text printable. The rule, character by character: Noto Sans where it has the glyph, else DejaVu Sans, else a
/// question mark, so that nothing is lost unseen and no empty box is printed. Characters beyond the Basic Multilingual Plane
/// become question marks too: PDFsharp draws them, but hands wrong letters to whoever copies or listens. Composed form comes
/// first (NFC); control and formatting characters (also those that turn the reading direction) vanish, every kind of blank
/// becomes a space, line ends stay. Letters are set one after the other from left to right: scripts that need joining or run
/// from right to left are not shaped.
/// </summary>
internal static class PrintableText
{
    private const char Replacement = '?';
    private const int NoBreakSpace = 0x00A0;
    private const int NarrowNoBreakSpace = 0x202F;

    /// <summary>The text with only printable characters and "\n" in it.</summary>
    public static string Clean(string text)
    {
        StringBuilder known = new(text.Length);
        foreach (Rune rune in text.ReplaceLineEndings("\n").EnumerateRunes())
        {
            known.Append(rune);
        }

        StringBuilder clean = new(known.Length);
        foreach (Rune rune in known.ToString().Normalize(NormalizationForm.FormC).EnumerateRunes())
        {
            AppendPrintable(clean, rune);
        }

        return clean.ToString();
    }

    /// <summary>Cleaned text cut where the font changes.</summary>
    public static IReadOnlyList<TextRun> Runs(string cleanText, bool bold)
    {
        List<TextRun> runs = [];
        StringBuilder run = new();
        FontFace? current = null;
        foreach (Rune rune in cleanText.EnumerateRunes())
        {
            FontFace face = Face(rune, bold);
            if (current is not null && face != current)
            {
                runs.Add(new TextRun(current, run.ToString()));
                run.Clear();
            }

            current = face;
            run.Append(rune);
        }

        if (current is not null)
        {
            runs.Add(new TextRun(current, run.ToString()));
        }

        return runs;
    }

    /// <summary>Width as a fraction of the font size.</summary>
    public static double Advance(Rune rune, bool bold) => Face(rune, bold).Advance(rune);

    private static void AppendPrintable(StringBuilder clean, Rune rune)
    {
        if (rune.Value == '\n' || rune.Value is NoBreakSpace)
        {
            clean.Append(rune);
            return;
        }

        switch (Rune.GetUnicodeCategory(rune))
        {
            case UnicodeCategory.SpaceSeparator:
                clean.Append(rune.Value == NarrowNoBreakSpace ? (char)NoBreakSpace : ' ');
                break;
            case UnicodeCategory.Control:
                clean.Append(rune.Value == '\t' ? " " : string.Empty);
                break;
            case UnicodeCategory.Format:
                break;
            default:
                AppendGlyph(clean, rune);
                break;
        }
    }

    private static void AppendGlyph(StringBuilder clean, Rune rune)
    {
        bool isVariationSelector = rune.Value is >= 0xFE00 and <= 0xFE0F or >= 0xE0100 and <= 0xE01EF;
        if (isVariationSelector)
        {
            return;
        }

        bool hasGlyph = FontLibrary.Regular.Has(rune) || FontLibrary.Fallback.Has(rune);
        clean.Append(hasGlyph ? rune.ToString() : Replacement);
    }

    private static FontFace Face(Rune rune, bool bold)
    {
        FontFace text = FontLibrary.Text(bold);
        return text.Has(rune) ? text : FontLibrary.Fallback;
    }
}
