using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Codes;

/// <summary>
/// All codes of one length: so many characters of an alphabet that can't be misread, and a check character from the same
/// alphabet. Serials are mixed, code = (serial · multiplier + offset) mod 32ⁿ, which is one-to-one because the multiplier is odd,
/// and whose base-32 digits are all between 1 and 30, so that neighbouring serials differ in every place (carry included).
/// </summary>
internal sealed class CodeSpace(int length, long multiplier, long offset, int group, string field, string example)
{
    /// <summary>Digits and capitals without 0, 1, I and O.</summary>
    public const string Alphabet = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ";

    private const int BitsPerCharacter = 5;

    /// <summary>Number of serials, usable or not.</summary>
    public long Count { get; } = 1L << (BitsPerCharacter * length);

    public string Payload(long serial)
    {
        Guard.InRange(serial, 0, Count - 1, nameof(serial));
        long mixed = ((serial * multiplier) + offset) & (Count - 1);
        return string.Create(length, mixed, static (characters, rest) =>
        {
            for (int place = characters.Length - 1; place >= 0; place--)
            {
                characters[place] = Alphabet[(int)(rest & (Alphabet.Length - 1))];
                rest >>= BitsPerCharacter;
            }
        });
    }

    public bool IsUsable(long serial) => Alphabet.Contains(CheckCharacter.Of(Payload(serial)), StringComparison.Ordinal);

    /// <exception cref="ArgumentException">The serial's check character is one that can be misread.</exception>
    public string Value(long serial)
    {
        string payload = Payload(serial);
        char check = CheckCharacter.Of(payload);
        return Alphabet.Contains(check, StringComparison.Ordinal)
            ? payload + check
            : throw new ArgumentException($"Serial {serial} has the check character '{check}' and is not used.", nameof(serial));
    }

    public string Next(ref long serial)
    {
        while (serial < Count && !IsUsable(serial))
        {
            serial++;
        }

        return serial < Count
            ? Value(serial++)
            : throw new InvalidOperationException($"All {Count} codes of this kind are used up.");
    }

    /// <summary>Upper-cases, drops spaces and hyphens, and never turns one character into another.</summary>
    public Outcome<string> Parse(string? typed)
    {
        string code = string.Concat((typed ?? "").Where(character => !char.IsWhiteSpace(character) && character != '-')).ToUpperInvariant();
        if (code.Length != length + 1)
        {
            return Refuse("\"{0}\" is not a whole code: it has {1} characters, for instance {2}.", typed, length + 1, example);
        }

        int misread = code.AsSpan().IndexOfAnyExcept(Alphabet);
        if (misread >= 0)
        {
            return Refuse("\"{0}\" has \"{1}\", which no code has: codes use the digits 2 to 9 and the letters without I and O. Look at the label again.", typed, code[misread].ToString());
        }

        return CheckCharacter.IsValid(code)
            ? code
            : Refuse("\"{0}\" does not fit its check character: one character is wrong, or two are exchanged. Look at the label again.", typed);
    }

    public string Display(string value) => value.Length > group ? $"{value[..group]}-{value[group..]}" : value;

    private Refusal Refuse(string text, string? typed, params object[] rest) =>
        Refusal.Invalid(field, text, [Shortened(typed), .. rest]);

    private static string Shortened(string? typed) => typed switch
    {
        null => "",
        { Length: > 24 } => typed[..24] + "…",
        _ => typed,
    };
}
