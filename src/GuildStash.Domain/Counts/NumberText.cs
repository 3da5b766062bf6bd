namespace GuildStash.Domain.Counts;

/// <summary>A number as it stands in a text.</summary>
/// <param name="Value">With a lone point or comma read as the decimal sign.</param>
/// <param name="Grouped">"1,093" read as one thousand and ninety-three; null where only one reading is possible.</param>
internal readonly record struct NumberText(decimal Value, decimal? Grouped)
{
    private const int MostDigits = 12;
    private const string Fractions = "½⅓⅔¼¾⅛⅜⅝⅞";
    private static readonly decimal[] FractionValues = [0.5m, 1m / 3, 2m / 3, 0.25m, 0.75m, 0.125m, 0.375m, 0.625m, 0.875m];

    public bool IsWhole => Value == decimal.Truncate(Value);

    /// <summary>A number begins here: a digit or a fraction sign.</summary>
    public static bool Begins(ReadOnlySpan<char> text, int at) => char.IsAsciiDigit(text[at]) || Fractions.Contains(text[at]);

    /// <summary>
    /// Reads the run of digits, points, commas, apostrophes and hard spaces that begins at <paramref name="at"/>, with a fraction
    /// sign after it, and moves behind it.
    /// </summary>
    /// <returns>The number; null for a run that is none, such as a date or one of more than 12 digits.</returns>
    public static NumberText? Read(ReadOnlySpan<char> text, ref int at)
    {
        if (Fractions.IndexOf(text[at]) is >= 0 and int lone)
        {
            at++;
            return new NumberText(FractionValues[lone], null);
        }

        int from = at;
        while (at < text.Length && (char.IsAsciiDigit(text[at]) || IsInside(text, at)))
        {
            at++;
        }

        NumberText? number = Interpreted(text[from..at]);
        if (number is { IsWhole: true } whole && at < text.Length && Fractions.IndexOf(text[at]) is >= 0 and int part)
        {
            at++;
            return new NumberText(whole.Value + FractionValues[part], null);
        }

        return number;
    }

    private static bool IsSeparator(char sign) => sign is '.' or ',' || IsGroupOnly(sign);

    private static bool IsGroupOnly(char sign) => sign is '\'' or '’' or '\u00a0' or '\u202f' or '\u2009';

    private static bool IsInside(ReadOnlySpan<char> text, int at) =>
        IsSeparator(text[at]) && at + 1 < text.Length && char.IsAsciiDigit(text[at + 1])
        && (!IsGroupOnly(text[at]) || (DigitsFrom(text, at + 1) == 3 && DigitsBefore(text, at) <= 3));

    // Looking four digits far is enough to know whether it is exactly three.
    private static int DigitsFrom(ReadOnlySpan<char> text, int at)
    {
        int digits = 0;
        while (digits < 4 && at + digits < text.Length && char.IsAsciiDigit(text[at + digits]))
        {
            digits++;
        }

        return digits;
    }

    private static int DigitsBefore(ReadOnlySpan<char> text, int at)
    {
        int digits = 0;
        while (digits < 4 && at - digits > 0 && char.IsAsciiDigit(text[at - digits - 1]))
        {
            digits++;
        }

        return digits;
    }

    private static NumberText? Interpreted(ReadOnlySpan<char> run)
    {
        List<int> groups = [];
        List<char> separators = [];
        decimal whole = 0;
        int digits = 0, inGroup = 0;
        foreach (char sign in run)
        {
            if (!char.IsAsciiDigit(sign))
            {
                separators.Add(sign);
                groups.Add(inGroup);
                inGroup = 0;
            }
            else if (++digits > MostDigits)
            {
                return null;
            }
            else
            {
                whole = (whole * 10) + (sign - '0');
                inGroup++;
            }
        }

        return Interpreted(whole, [.. groups, inGroup], separators, startsWithZero: run[0] == '0');
    }

    /// <param name="groups">Digits in each group between separators.</param>
    private static NumberText? Interpreted(decimal whole, int[] groups, List<char> separators, bool startsWithZero)
    {
        if (separators.Count == 0)
        {
            return new NumberText(whole, null);
        }

        bool thousands = groups[0] <= 3 && !startsWithZero && groups.Skip(1).All(digits => digits == 3);
        if (separators.Distinct().Count() == 1)
        {
            return (separators.Count, IsGroupOnly(separators[0])) is (1, false)
                ? new NumberText(whole / Power(groups[^1]), thousands ? whole : null)
                : thousands ? new NumberText(whole, null) : null;
        }

        bool thousandsThenDecimals = !IsGroupOnly(separators[^1])
            && separators.SkipLast(1).All(sign => sign == separators[0]) && separators[0] != separators[^1]
            && groups[0] <= 3 && groups.Skip(1).SkipLast(1).All(digits => digits == 3);
        return thousandsThenDecimals ? new NumberText(whole / Power(groups[^1]), null) : null;
    }

    private static decimal Power(int decimals)
    {
        decimal power = 1;
        for (int i = 0; i < decimals; i++)
        {
            power *= 10;
        }

        return power;
    }
}
