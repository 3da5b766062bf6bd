using System.Globalization;

namespace GuildStash.Domain.Rules;

/// <summary>
/// A sentence for people that the domain can build without knowing the reader's language: an English template, which is
/// also the key for translation, and its arguments in <see cref="string.Format(string, object?[])"/> positions.
/// </summary>
/// <param name="Text">English template, for instance "{0} of {1} are free".</param>
/// <param name="Arguments">Values in the order of the template's positions; a length or mass stays a quantity, so that it can be written in the reader's unit; other numbers are already rounded for display.</param>
public sealed record Phrase(string Text, params object[] Arguments)
{
    /// <summary>Dividing by it leaves the fewest decimals that say the same.</summary>
    private const decimal OneWithAllZeros = 1.0000000000000000000000000000m;

    /// <summary>The values; a decimal has lost the zeros at its end, however it was typed: "1000000000.0" reads 1000000000.</summary>
    public object[] Arguments { get; } = [.. Arguments.Select(argument => argument is decimal number ? number / OneWithAllZeros : argument)];

    /// <summary>The English sentence with invariant number formatting, for logs, the API and tests.</summary>
    public override string ToString() => string.Format(CultureInfo.InvariantCulture, Text, Arguments);

    public bool Equals(Phrase? other) => other is not null && ToString() == other.ToString();

    public override int GetHashCode() => ToString().GetHashCode(StringComparison.Ordinal);
}
