namespace GuildStash.Domain.Bands;

/// <summary>
/// Names of one or more words with their meaning. The names go through the same tokens as the text, so case, accents, hyphens
/// and full width need no second spelling.
/// </summary>
internal sealed class Vocabulary<T>
{
    private readonly Dictionary<string, T> _meanings = new(StringComparer.Ordinal);
    private readonly int _longest;

    /// <param name="entries">Names separated by "|".</param>
    public Vocabulary(params (T Meaning, string Names)[] entries)
    {
        foreach ((T meaning, string names) in entries)
        {
            foreach (string name in names.Split('|'))
            {
                string[] words = [.. BandTokens.Read(name).Where(token => token.Kind != BandTokenKind.Sign).Select(token => token.Key)];
                _longest = Math.Max(_longest, words.Length);
                _meanings.Add(string.Join(' ', words), meaning);
            }
        }
    }

    /// <summary>The longest name that begins at a free token.</summary>
    /// <param name="next">Token behind it.</param>
    public bool TryMatch(BandScan scan, int at, out T meaning, out int next)
    {
        (meaning, next) = (default!, at);
        string? key = scan.Word(at);
        for (int words = 1, behind = at + 1; key is not null; words++)
        {
            if (_meanings.TryGetValue(key, out T? found))
            {
                (meaning, next) = (found, behind);
            }

            int following = scan.IsSign(behind, "-.'") ? behind + 1 : behind;
            string? word = words < _longest ? scan.Word(following) : null;
            key = word is null ? null : key + " " + word;
            behind = following + 1;
        }

        return next > at;
    }
}
