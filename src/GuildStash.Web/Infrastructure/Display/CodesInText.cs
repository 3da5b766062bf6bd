using System.Text.RegularExpressions;

namespace GuildStash.Web.Infrastructure.Display;

/// <summary>Finds the codes in a sentence: "K7M4-P9U", "K7M-S", "D-2026-0042".</summary>
public static partial class CodesInText
{
    /// <summary>The sentence in pieces, each a code or what stands between two of them; put together they are the sentence.</summary>
    public static IEnumerable<(string Part, bool IsCode)> Parts(string text)
    {
        int at = 0;
        foreach (Match code in Code().Matches(text))
        {
            if (code.Index > at)
            {
                yield return (text[at..code.Index], false);
            }

            yield return (code.Value, true);
            at = code.Index + code.Length;
        }

        if (at < text.Length)
        {
            yield return (text[at..], false);
        }
    }

    [GeneratedRegex("(?<![0-9A-Za-z-])[0-9A-Z]{1,8}(?:-[0-9A-Z]{1,8})+(?![0-9A-Za-z-])")]
    private static partial Regex Code();
}
