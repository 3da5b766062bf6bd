using GuildStash.Domain.Rules;

namespace GuildStash.Printing;

/// <summary>A row of the guild's weight class table, as the bench's papers show it.</summary>
/// <param name="Name">Localised name of the class.</param>
/// <param name="Number">Number of the Standard Yarn Weight System, 0 to 7.</param>
/// <param name="TypicalWraps">Wraps per inch that the strand is drawn with, 1 to 100.</param>
/// <param name="WrapsAbove">Exclusive lower cut, wraps per inch.</param>
/// <param name="WrapsUpTo">Inclusive upper cut; infinite for the finest class.</param>
/// <param name="LowMetres">Metres in 100 g that are surely there.</param>
/// <param name="HighMetres">Metres in 100 g that are rarely surpassed.</param>
public sealed record PrintedClassRow(string Name, int Number, double TypicalWraps, double WrapsAbove, double WrapsUpTo, double LowMetres, double HighMetres)
{
    private const double MillimetresPerInch = 25.4;

    /// <exception cref="ArgumentOutOfRangeException">NaN or outside 1 to 100.</exception>
    public double TypicalWraps { get; } = Guard.InRange(TypicalWraps, 1, 100, nameof(TypicalWraps));

    /// <summary>Thickness of one wrap, mm.</summary>
    internal double Pitch => MillimetresPerInch / TypicalWraps;

    /// <summary>The whole counts of the row: "12–14", "23 or more", "up to 4".</summary>
    internal string Wraps(PrintTexts texts)
    {
        int least = (int)Math.Floor(WrapsAbove) + 1;
        if (double.IsPositiveInfinity(WrapsUpTo))
        {
            return texts[PrintWords.WrapsOrMore, texts.Number(least)];
        }

        int most = (int)Math.Floor(WrapsUpTo);
        return WrapsAbove <= 0 ? texts[PrintWords.WrapsUpTo, texts.Number(most)]
            : least >= most ? texts.Number(most)
            : texts[PrintWords.WrapsFromTo, texts.Number(least), texts.Number(most)];
    }
}
