using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Counts;

/// <summary>Reads a count as it is written.</summary>
internal static class CountText
{
    private const int MaxLength = 60;

    public static Outcome<YarnCount> Parse(string? text, CountSystem? system, CountNotation notation, string field)
    {
        Parts? read = text is { Length: <= MaxLength } ? Read(text) : null;
        if (read is not { } parts)
        {
            return Refusal.Invalid(field, "\"{0}\" is not a count. Write a number more than 0 such as 14, or a folded count such as 2/28, 8/2 or 60+40, with its system: Ne, worsted, lea, run, cut, Nm, tex, dtex or denier.", Shortened(text));
        }

        if (parts.System is { } named && system is { } asked && named != asked)
        {
            return Refusal.Invalid(field, "\"{0}\" names the {1}, but the {2} was asked for. Give one of them.", Shortened(text), named.Name(), asked.Name());
        }

        return (parts.System ?? system) is { } known
            ? Count(known, parts, parts.IsResultant || (parts.IsSilk && known == CountSystem.Cotton) ? CountNotation.Resultant : notation, field)
            : Refusal.Invalid(field, "\"{0}\" does not say in which count system it is. Add Ne, worsted, lea, run, cut, Nm, tex, dtex or denier.", Shortened(text));
    }

    public static string Shortened(string? text) => text is { Length: > 24 } ? text[..24] + "…" : text ?? "";

    private static Outcome<YarnCount> Count(CountSystem system, Parts parts, CountNotation notation, string field) => (parts.Numbers, parts.Sign) switch
    {
        ([double only], _) => YarnCount.Single(system, only, field),
        ([_, _], '/') when system.IsDirect() && notation == CountNotation.Singles => Refusal.Invalid(field,
            "{0}/{1} {2} may mean strands or filaments. Write {0}x{1} for strands of {0}, or the count of the whole yarn alone.", parts.Numbers[0], parts.Numbers[1], system.Name()),
        ([double first, double second], '/' or '×') => YarnCount.Folded(system, first, second, notation, field),
        (_, '+') when system.IsSpinners() => YarnCount.OfSingles(system, parts.Numbers, field),
        (_, '+') => Refusal.Invalid(field, "{0} are of the whole yarn, so give one number.", system.Name()),
        _ => Refusal.Invalid(field, "A cabled yarn, folded more than once, is written in different orders by different makers. Give the count of the whole yarn alone."),
    };

    private static Parts? Read(ReadOnlySpan<char> text)
    {
        List<double> numbers = [];
        CountSystem? system = null;
        char? sign = null;
        bool isResultant = false, isSilk = false, needsNumber = true;
        for (int at = 0; at < text.Length;)
        {
            if (char.IsWhiteSpace(text[at]))
            {
                at++;
            }
            else if (char.IsAsciiDigit(text[at]))
            {
                if (!needsNumber || NumberText.Read(text, ref at) is not { } number)
                {
                    return null;
                }

                numbers.Add((double)number.Value);
                needsNumber = false;
            }
            else if (SignAt(text, at) is { } found)
            {
                if (needsNumber || (sign is not null && sign != found))
                {
                    return null;
                }

                (sign, needsNumber) = (found, true);
                at++;
            }
            else if (!Word(text, ref at, ref system, ref isResultant, ref isSilk))
            {
                return null;
            }
        }

        return needsNumber ? null : new Parts(numbers, sign, system, isResultant, isSilk);
    }

    private static char? SignAt(ReadOnlySpan<char> text, int at) => text[at] switch
    {
        '/' or '+' => text[at],
        'x' or 'X' or '×' or '*' when at + 1 == text.Length || !char.IsLetter(text[at + 1]) => '×',
        _ => null,
    };

    private static bool Word(ReadOnlySpan<char> text, ref int at, ref CountSystem? system, ref bool isResultant, ref bool isSilk)
    {
        int from = at;
        while (at < text.Length && char.IsAsciiLetter(text[at]))
        {
            at++;
        }

        string word = text[from..at].ToString();
        if (word is "R" or "r")
        {
            return isResultant = true;
        }

        if (word.ToLowerInvariant() is "silk" or "seide" or "soie" or "seda")
        {
            return isSilk = true;
        }

        if (system is null && CountSystemTerms.TryParse(word, out CountSystem found))
        {
            system = found;
            return true;
        }

        // "30s" is the spinner's way to write a count of 30.
        return word is "s" or "S" || word.Equals("spun", StringComparison.OrdinalIgnoreCase);
    }

    /// <summary>Numbers in order, the sign between them, and what the words among them say.</summary>
    private readonly record struct Parts(List<double> Numbers, char? Sign, CountSystem? System, bool IsResultant, bool IsSilk);
}
