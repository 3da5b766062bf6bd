using System.Globalization;
using System.Text;
using GuildStash.Domain.Counts;

namespace GuildStash.Domain.Bands;

internal enum BandTokenKind
{
    Number = 0,
    Word = 1,
    Sign = 2,
}

/// <summary>One word, number or sign of the text.</summary>
/// <param name="Start">Index of its first character in the text.</param>
/// <param name="End">Index behind its last.</param>
/// <param name="Key">In lower case without accents, half-width kana widened: what vocabularies are asked for.</param>
/// <param name="Number">Only for a number.</param>
internal sealed record BandToken(BandTokenKind Kind, int Start, int End, string Key, NumberText? Number = null);

/// <summary>
/// Cuts a text into tokens in one pass. Words end where the script changes, so that "40g120m" and "毛60%アクリル" need no spaces;
/// each kanji is a token of its own, since Japanese writes no spaces at all.
/// </summary>
internal static class BandTokens
{
    private const char Replacement = '\ufffd';

    private enum Script
    {
        None = 0,
        Kanji = 1,
        Kana = 2,
        Letters = 3,
    }

    public static IReadOnlyList<BandToken> Read(string text)
    {
        string plain = Plain(text);
        List<BandToken> tokens = [];
        for (int at = 0; at < plain.Length;)
        {
            int from = at;
            Script script = ScriptAt(plain, at);
            if (char.IsWhiteSpace(plain[at]))
            {
                at++;
            }
            else if (NumberText.Begins(plain, at))
            {
                NumberText? number = NumberText.Read(plain, ref at);
                tokens.Add(new BandToken(number is null ? BandTokenKind.Word : BandTokenKind.Number, from, at, plain[from..at], number));
            }
            else if (script == Script.None)
            {
                at++;
                tokens.Add(new BandToken(BandTokenKind.Sign, from, at, plain[from..at]));
            }
            else
            {
                at++;
                while (at < plain.Length && ScriptAt(plain, at) == script && script != Script.Kanji)
                {
                    at++;
                }

                tokens.Add(new BandToken(BandTokenKind.Word, from, at, Key(plain[from..at])));
            }
        }

        return tokens;
    }

    /// <summary>Lower case, compatibility forms unified, accents and umlaut dots off, ß as ss.</summary>
    public static string Key(string word)
    {
        string unified = word.Normalize(NormalizationForm.FormKC).ToLowerInvariant().Replace("ß", "ss", StringComparison.Ordinal);
        StringBuilder key = new(unified.Length);
        foreach (char sign in unified.Normalize(NormalizationForm.FormD))
        {
            // The voiced marks of kana make another sound, not an accent.
            if (CharUnicodeInfo.GetUnicodeCategory(sign) != UnicodeCategory.NonSpacingMark || sign is '\u3099' or '\u309a')
            {
                key.Append(sign);
            }
        }

        return key.ToString().Normalize(NormalizationForm.FormC);
    }

    /// <summary>Full-width forms as ASCII, the many dashes and quotes as one each, halves of broken characters replaced; of the same length.</summary>
    private static string Plain(string text) => string.Create(text.Length, text, (plain, source) =>
    {
        for (int i = 0; i < source.Length; i++)
        {
            plain[i] = source[i] switch
            {
                >= '！' and <= '～' => (char)(source[i] - '！' + '!'),
                '‐' or '‑' or '–' or '—' or '−' or '〜' => '-',
                '″' or '”' or '“' or '„' => '"',
                '’' or '‘' or '′' => '\'',
                '✕' or '✖' or '*' => '×',
                'º' or '˚' => '°',
                _ when char.IsSurrogate(source[i]) && !IsWholePair(source, i) => Replacement,
                _ => source[i],
            };
        }
    });

    private static bool IsWholePair(string text, int at) => char.IsHighSurrogate(text[at])
        ? at + 1 < text.Length && char.IsLowSurrogate(text[at + 1])
        : at > 0 && char.IsHighSurrogate(text[at - 1]);

    private static Script ScriptAt(string text, int at) => text[at] switch
    {
        (>= '\u3400' and <= '\u4dbf') or (>= '\u4e00' and <= '\u9fff') or '々' => Script.Kanji,
        (>= '\u3041' and <= '\u309f') or (>= '\u30a1' and <= '\u30fa') or 'ー' or (>= '\uff66' and <= '\uff9f') => Script.Kana,
        char sign when char.IsLetter(sign) || char.IsSurrogate(sign) || CharUnicodeInfo.GetUnicodeCategory(sign) == UnicodeCategory.NonSpacingMark => Script.Letters,
        _ => Script.None,
    };
}
