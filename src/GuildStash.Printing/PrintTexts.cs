using System.Globalization;

namespace GuildStash.Printing;

/// <summary>Unit in which lengths of yarn are printed.</summary>
public enum PaperLengthUnit
{
    Metres = 0,
    Yards = 1,
}

/// <summary>
/// The reader's language on paper. Every word of a document that is not the caller's data is asked for here, by its English
/// text, which is the key (all keys are in <see cref="PrintWords.All"/>). Numbers arrive in the arguments already written out.
/// </summary>
/// <param name="Localise">Gives the sentence for an English key and its <c>{0}</c> arguments.</param>
/// <param name="Culture">Writes numbers and dates; its name becomes the document's language.</param>
/// <param name="LengthUnit">Unit of every length on the document.</param>
public sealed record PrintTexts(
    Func<string, object[], string> Localise,
    CultureInfo Culture,
    PaperLengthUnit LengthUnit)
{
    private const decimal MilligramsPerGram = 1000m;
    private const long MilligramsPerKilogram = 1_000_000;
    private const string NoBreakSpace = "\u00A0";

    /// <summary>Slack that keeps a whole number whole after conversion to yards and back; far below anything a scale sees.</summary>
    private const double Rounding = 1e-6;

    /// <summary>English keys as they stand, numbers and dates in British English.</summary>
    public static PrintTexts English(PaperLengthUnit unit)
    {
        CultureInfo culture = CultureInfo.GetCultureInfo("en-GB");
        return new PrintTexts((key, arguments) => string.Format(culture, key, arguments), culture, unit);
    }

    internal string this[string key, params object[] arguments] => Localise(key, arguments);

    /// <summary>Milligrams as grams with their unit, at most one decimal: 96500 mg is "96.5 g".</summary>
    internal string Grams(long milligrams) => this[PrintWords.Grams, GramsNumber(milligrams)].Replace(" ", NoBreakSpace, StringComparison.Ordinal);

    /// <summary>For reading from afar: grams below a kilogram, then kilograms to 10 g, as the pages say it.</summary>
    internal string Mass(long milligrams) => milligrams < MilligramsPerKilogram
        ? Grams(milligrams)
        : this[PrintWords.Kilograms, (milligrams / (decimal)MilligramsPerKilogram).ToString("#,0.##", Culture)].Replace(" ", NoBreakSpace, StringComparison.Ordinal);

    internal string GramsNumber(long milligrams) => (milligrams / MilligramsPerGram).ToString("#,0.#", Culture);

    /// <summary>Metres in the reader's unit, rounded down: a promise must not grow by rounding.</summary>
    internal string AtLeast(double metres) => WithUnit(Math.Floor(Steps(metres) + Rounding), metres);

    /// <summary>Metres in the reader's unit, rounded up.</summary>
    internal string AtMost(double metres) => WithUnit(Math.Max(0, Math.Ceiling(Steps(metres) - Rounding)), metres);

    /// <summary>Metres in the reader's unit, rounded to the nearest.</summary>
    internal string About(double metres) => WithUnit(Math.Round(Steps(metres), MidpointRounding.AwayFromZero), metres);

    internal string Date(DateOnly date) => date.ToString("D", Culture);

    internal string Number(double value) => value.ToString("#,0.##", Culture);

    internal string Number(int value) => value.ToString("N0", Culture);

    /// <summary>Short lengths keep one decimal, so that half a yard is not promised as none.</summary>
    private int Scale(double metres) => InUnit(metres) < 10 ? 10 : 1;

    private double Steps(double metres) => InUnit(metres) * Scale(metres);

    private double InUnit(double metres) => LengthUnit == PaperLengthUnit.Yards ? metres / Domain.Quantities.Length.MetresPerYard : metres;

    private string WithUnit(double steps, double metres) =>
        this[LengthUnit == PaperLengthUnit.Yards ? PrintWords.Yards : PrintWords.Metres, (steps / Scale(metres)).ToString("#,0.#", Culture)]
            .Replace(" ", NoBreakSpace, StringComparison.Ordinal);
}
