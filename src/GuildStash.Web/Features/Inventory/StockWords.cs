using GuildStash.Domain.Colours;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Inventory;

/// <summary>What wall, table, charts and files call the parts of the stock.</summary>
internal static class StockWords
{
    public static string ClassWord(this IStringLocalizer texts, WeightClass? weight) => weight is { } known ? texts.Say(known.Name()) : texts["Not known"];

    public static string ColourWord(this IStringLocalizer texts, ColourFamily? colour) => colour switch
    {
        null => texts["Not noted"],
        { } known => texts.Say(known.Name()),
    };

    /// <summary>For the head of a narrow column, which has the whole word as its title.</summary>
    public static string ColourHead(this IStringLocalizer texts, ColourFamily? colour) => colour == ColourFamily.Multicolour ? texts["Many"] : texts.ColourWord(colour);

    public static string MeasureWord(this IStringLocalizer texts, PersonDisplay display, StockMeasure measure) => measure switch
    {
        StockMeasure.Length => display.UnitName,
        StockMeasure.Grams => texts["grams"],
        _ => texts["lots"],
    };

    /// <summary>Which part of the stock is shown, and in what: "Free yarn: yards, at least".</summary>
    public static string StockCaption(this IStringLocalizer texts, PersonDisplay display, StockPart part, StockMeasure measure)
    {
        string name = part switch
        {
            StockPart.OnShelves => texts["Yarn on the shelves, reserved yarn included"],
            StockPart.InQuarantine => texts["Yarn in quarantine"],
            _ => texts["Free yarn"],
        };
        return measure switch
        {
            StockMeasure.Length => texts["{0}: {1}, at least", name, display.UnitName],
            StockMeasure.Grams => texts["{0}: grams", name],
            _ => texts["{0}: number of lots", name],
        };
    }

    /// <summary>"at least 900 m, probably 1,000 m, at most 1,120 m".</summary>
    public static string RangeWords(this IStringLocalizer texts, PersonDisplay display, double low, double likely, double high) =>
        high <= low
            ? texts["at least {0}", display.LengthAtLeast(low)]
            : texts["at least {0}, probably {1}, at most {2}", display.LengthAtLeast(low), display.Length(likely), display.LengthAtMost(high)];

    /// <summary>All of these cells as one: low, likely and high of the whole, which are not the sums of the cells' own. Null where no length is known.</summary>
    public static string? WholeWords(this IStringLocalizer texts, PersonDisplay display, IEnumerable<SummaryRow> rows) =>
        SummaryRow.Total(rows) is { Likely.Metres: > 0 } whole ? texts.RangeWords(display, whole.Low.Metres, whole.Likely.Metres, whole.High.Metres) : null;

    /// <summary>A figure of the table; a question mark where nobody knows a length.</summary>
    public static string StockFigure(this PersonDisplay display, StockMeasure measure, double value) => measure switch
    {
        StockMeasure.Length => value > 0 ? display.LengthFigureAtLeast(value) : "?",
        StockMeasure.Grams => display.Count((long)Math.Round(value / 1000)),
        _ => display.Count((long)value),
    };

    /// <summary>Tenths of a percent: "12.3 %".</summary>
    public static string Percent(this PersonDisplay display, int tenths) => (tenths / 1000.0).ToString("0.0\u00A0%", display.Culture);

    /// <summary>The lots of a cell, of a whole class or colour where the other is null, or of all: longest first.</summary>
    public static string LotsHref(this LotFilterAddress address, string? classKey, string? colourKey) => (address with
    {
        Class = classKey ?? address.Class,
        Colour = colourKey ?? address.Colour,
        Status = address.Status ?? LotFilterAddress.KeyOf(LotStatus.Available),
    }).Href("/inventory/lots", ("order", LotOrder.LongestFree.ToString()));

    public static string KeyOf(WeightClass? weight) => weight?.Key() ?? LotFilterAddress.Unknown;

    public static string KeyOf(ColourFamily? colour) => colour?.Key() ?? LotFilterAddress.Unknown;
}
