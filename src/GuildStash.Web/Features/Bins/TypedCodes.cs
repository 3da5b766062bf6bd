using GuildStash.Domain.Codes;

namespace GuildStash.Web.Features.Bins;

/// <summary>Takes lot codes out of what people type, paste or scan.</summary>
public static class TypedCodes
{
    private static readonly char[] Between = [' ', ',', ';', '\t', '\r', '\n'];

    /// <summary>
    /// One text for each code: the end of a scanned address, a group followed by the rest of its code, or the whole. What is no
    /// code stays as it was typed, so that the refusal can quote it.
    /// </summary>
    public static IReadOnlyList<string> Split(string? typed)
    {
        List<string> codes = [];
        string before = "";
        foreach (string piece in (typed ?? "").Split(Between, StringSplitOptions.RemoveEmptyEntries))
        {
            string text = piece.Contains('/', StringComparison.Ordinal) ? piece.TrimEnd('/')[(piece.TrimEnd('/').LastIndexOf('/') + 1)..] : piece;
            if (before.Length > 0 && LotCode.TryParse(before + text, out _))
            {
                codes[^1] = before + text;
                before = "";
                continue;
            }

            codes.Add(text);
            before = LotCode.TryParse(text, out _) ? "" : text;
        }

        return codes;
    }
}
