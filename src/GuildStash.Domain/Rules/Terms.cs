namespace GuildStash.Domain.Rules;

/// <summary>The words of one closed vocabulary: each value's stable key, as the API writes it, and its name for people.</summary>
public sealed class Terms<T>
    where T : struct, Enum
{
    private readonly Dictionary<T, (string Key, Phrase Name)> _words;
    private readonly Dictionary<string, T> _values;

    /// <exception cref="ArgumentException">A value lacks its words, or a key occurs twice.</exception>
    public Terms(params (T Value, string Key, string Name)[] words)
    {
        _words = words.ToDictionary(word => word.Value, word => (word.Key, new Phrase(word.Name)));
        _values = words.ToDictionary(word => word.Key, word => word.Value, StringComparer.OrdinalIgnoreCase);
        T[] missing = [.. Enum.GetValues<T>().Where(value => !_words.ContainsKey(value))];
        if (missing.Length > 0)
        {
            throw new ArgumentException($"{typeof(T).Name} has no words for {string.Join(", ", missing)}.", nameof(words));
        }
    }

    /// <summary>All keys in the order given, for messages that list what is allowed.</summary>
    public IReadOnlyCollection<string> Keys => _values.Keys;

    /// <exception cref="ArgumentOutOfRangeException">Not a value of the vocabulary.</exception>
    public string Key(T value) => WordsOf(value).Key;

    /// <inheritdoc cref="Key"/>
    public Phrase Name(T value) => WordsOf(value).Name;

    /// <summary>Finds the value of a key; upper and lower case count as the same, spaces around it are ignored.</summary>
    public bool TryParse(string? key, out T value)
    {
        value = default;
        return key is not null && _values.TryGetValue(key.Trim(), out value);
    }

    private (string Key, Phrase Name) WordsOf(T value) => _words.TryGetValue(value, out (string Key, Phrase Name) words)
        ? words
        : throw new ArgumentOutOfRangeException(nameof(value), value, $"{typeof(T).Name} has no value {value}.");
}
