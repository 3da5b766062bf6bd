using System.Globalization;
using System.Text.RegularExpressions;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Infrastructure.Display;

/// <summary>
/// Writes quantities, dates and moments as the present person reads them. Scoped: one per circuit or request, filled by
/// <c>DisplayScope</c> before anything below it renders.
/// </summary>
public sealed partial class PersonDisplay(IStringLocalizer<Texts> texts, GuildDefaults guild)
{
    private const double MilligramsPerGram = 1000;
    private const double GramsPerKilogram = 1000;
    private const double MetresPerKilometre = 1000;

    /// <summary>From here on metres are written as kilometres.</summary>
    private const double KilometresFrom = 10_000;

    /// <summary>Keeps 254.999999999 yd, which is 255 yd after conversion, from being rounded down to 254.</summary>
    private const double RoundingSlack = 1e-6;

    private DisplayChoices _choices = new(CultureInfo.CurrentCulture, LengthUnit.Metres, Theme.System);

    /// <summary>The person's numbers with a true minus sign.</summary>
    private CultureInfo _figures = TrueMinus.Of(CultureInfo.CurrentCulture);

    public CultureInfo Culture => _choices.Culture;

    public LengthUnit Unit => _choices.LengthUnit;

    public Theme Theme => _choices.Theme;

    public TimeZoneInfo Zone => guild.Zone;

    /// <summary>The unit's sign, "m" or "yd".</summary>
    public string UnitSign => Unit == LengthUnit.Yards ? texts["yd"] : texts["m"];

    /// <summary>The unit's name inside a sentence.</summary>
    public string UnitName => Unit == LengthUnit.Yards ? texts["yards"] : texts["metres"];

    public void Use(DisplayChoices choices) => (_choices, _figures) = (choices, TrueMinus.Of(choices.Culture));

    /// <summary>A length to the nearest unit: "255 yd", "61.4 km".</summary>
    public string Length(double metres) => WithUnit(metres, Math.Round);

    /// <summary>A length that is surely there, rounded down.</summary>
    public string LengthAtLeast(double metres) => WithUnit(metres, value => Math.Floor(value + RoundingSlack));

    /// <summary>A length that is not surpassed, rounded up.</summary>
    public string LengthAtMost(double metres) => WithUnit(metres, value => Math.Ceiling(value - RoundingSlack));

    /// <summary>The figure of <see cref="Length"/> alone, for columns whose head names the unit.</summary>
    public string LengthFigure(double metres) => Figure(Math.Round(FromMetres(metres)));

    /// <summary>The figure of <see cref="LengthAtLeast"/> alone.</summary>
    public string LengthFigureAtLeast(double metres) => Figure(Math.Floor(FromMetres(metres) + RoundingSlack));

    /// <summary>The figure of <see cref="LengthAtMost"/> alone.</summary>
    public string LengthFigureAtMost(double metres) => Figure(Math.Ceiling(FromMetres(metres) - RoundingSlack));

    /// <summary>Metres in the person's unit.</summary>
    public double FromMetres(double metres) => Unit == LengthUnit.Yards ? metres / Domain.Quantities.Length.MetresPerYard : metres;

    /// <summary>What the person typed in their unit, in metres.</summary>
    public double ToMetres(double inUnit) => Unit == LengthUnit.Yards ? inUnit * Domain.Quantities.Length.MetresPerYard : inUnit;

    /// <summary>How long 100 g of a yarn are, from metres in 100 g: "132 yd/100 g".</summary>
    public string LengthPer100Grams(double metresPer100Grams) =>
        NoBreak.Keep(texts["{0} {1}/100 g", Figure(Math.Round(FromMetres(metresPer100Grams))), UnitSign]);

    /// <summary>A mass for reading: grams below a kilogram ("96 g", "96.4 g"), then kilograms to 10 g ("1.25 kg").</summary>
    public string Mass(long milligrams)
    {
        double grams = milligrams / MilligramsPerGram;
        return Math.Abs(Math.Round(grams, 1)) < GramsPerKilogram
            ? NoBreak.Keep(texts["{0} g", grams.ToString("#,0.#", _figures)])
            : NoBreak.Keep(texts["{0} kg", (grams / GramsPerKilogram).ToString("#,0.##", _figures)]);
    }

    /// <summary>The exact grams as a figure, for columns whose head names the unit and for books that must add up.</summary>
    public string Grams(long milligrams) => (milligrams / 1000m).ToString("#,0.###", _figures);

    /// <summary>Grams to a tenth as a figure, for a field that shows what is expected beside its unit.</summary>
    public string RoundGrams(long milligrams) => (milligrams / MilligramsPerGram).ToString("#,0.#", _figures);

    /// <summary>A whole number with the person's grouping.</summary>
    public string Count(long number) => number.ToString("#,0", _figures);

    /// <summary>A day with its month in letters, so that no one takes the day for the month.</summary>
    public string Date(DateOnly day) => Mark(NoBreak.Keep(day.ToString(DayPattern(Culture), Culture)));

    /// <summary>The day of a moment in the guild's zone.</summary>
    public string Date(DateTimeOffset moment) => Date(DateOnly.FromDateTime(Local(moment)));

    /// <summary>Day and time of a moment in the guild's zone.</summary>
    public string Moment(DateTimeOffset moment) =>
        Mark(NoBreak.Keep(Local(moment).ToString(DayPattern(Culture), Culture)) + " " + Time(moment));

    /// <summary>The time alone of a moment on the same day as another, else day and time; in the guild's zone.</summary>
    public string MomentOrTime(DateTimeOffset moment, DateTimeOffset now) =>
        Local(moment).Date == Local(now).Date ? Mark(Time(moment)) : Moment(moment);

    /// <summary>The day of a moment on the guild's wall, for what is no text.</summary>
    public DateOnly LocalDay(DateTimeOffset moment) => DateOnly.FromDateTime(Local(moment));

    /// <summary>A phrase of the domain with its lengths and masses as this person reads them.</summary>
    public string Say(Phrase phrase) => texts.Say(InUnits(phrase));

    /// <summary>Reads a number that the person typed.</summary>
    public Outcome<decimal> Parse(string typed, string field) => DecimalInput.Parse(typed, Culture, field);

    /// <summary>The phrase with its lengths and masses as this person reads them.</summary>
    public Phrase InUnits(Phrase phrase) => new(phrase.Text, [.. phrase.Arguments.Select(argument => argument switch
    {
        Phrase inner => InUnits(inner),
        Domain.Quantities.Length length => Length(length.Metres),
        Domain.Quantities.Mass mass => Mass(mass.Milligrams),
        _ => argument,
    })]);

    private DateTime Local(DateTimeOffset moment) => TimeZoneInfo.ConvertTime(moment, guild.Zone).DateTime;

    private string Time(DateTimeOffset moment) => NoBreak.Keep(Local(moment).ToString(Culture.DateTimeFormat.ShortTimePattern, Culture));

    private string WithUnit(double metres, Func<double, double> round)
    {
        if (Unit == LengthUnit.Metres && Math.Abs(metres) >= KilometresFrom)
        {
            double tenths = round(metres / MetresPerKilometre * 10);
            return NoBreak.Keep(texts["{0} km", (tenths / 10).ToString("#,0.0", _figures)]);
        }

        string figure = Figure(round(FromMetres(metres)));
        return NoBreak.Keep(Unit == LengthUnit.Yards ? texts["{0} yd", figure] : texts["{0} m", figure]);
    }

    /// <summary>Adding zero turns the negative zero that rounding up can leave into zero.</summary>
    private string Figure(double whole) => (whole + 0.0).ToString("#,0", _figures);

    /// <summary>Month names come from the culture's own data; a pseudo-language has none, so they are marked as localised.</summary>
    private static string Mark(string formatted) => PseudoLanguage.IsCurrent ? PseudoLanguage.Mark(formatted) : formatted;

    /// <summary>The culture's long date without the weekday and with a short month: "9 Mar 2026", "Mar 9, 2026".</summary>
    private static string DayPattern(CultureInfo culture)
    {
        string withoutWeekday = Weekday().Replace(culture.DateTimeFormat.LongDatePattern, string.Empty);
        return withoutWeekday.Replace("MMMM", "MMM", StringComparison.Ordinal).Trim(' ', ',', '،');
    }

    [GeneratedRegex(@"'[^']*'\s*(?=dddd)|dddd('[^']*')?[,.]?")]
    private static partial Regex Weekday();
}
