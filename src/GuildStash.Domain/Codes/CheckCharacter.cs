namespace GuildStash.Domain.Codes;

/// <summary>
/// Check character after ISO/IEC 7064, pure system MOD 37-2, over the digits and capital letters. It finds every wrong single
/// character and every exchange of two neighbours.
/// </summary>
public static class CheckCharacter
{
    private const string Alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";
    private const int Modulus = 37;
    private const int Radix = 2;

    /// <param name="payload">Digits and capital letters, the check character not among them.</param>
    /// <exception cref="ArgumentException">Empty, or with another character.</exception>
    public static char Of(ReadOnlySpan<char> payload)
    {
        if (payload.IsEmpty)
        {
            throw new ArgumentException("A check character needs at least one character to check.", nameof(payload));
        }

        int p = 0;
        foreach (char character in payload)
        {
            int value = Alphabet.IndexOf(character, StringComparison.Ordinal);
            if (value is < 0 or Modulus - 1)
            {
                throw new ArgumentException($"'{character}' is neither a digit nor a capital letter.", nameof(payload));
            }

            p = (p + value) * Radix % Modulus;
        }

        return Alphabet[(Modulus + 1 - p) % Modulus];
    }

    /// <summary>Whether the last character is the check character of those before it; false for anything else, never an exception.</summary>
    public static bool IsValid(ReadOnlySpan<char> code) =>
        code.Length >= 2 && code[..^1].ContainsAnyExcept(Alphabet.AsSpan(0, Modulus - 1)) is false && Of(code[..^1]) == code[^1];
}
