using GuildStash.Domain.Colours;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Web.Features.Inventory;

/// <summary>What the cross table counts.</summary>
public enum StockMeasure
{
    Length = 0,
    Grams = 1,
    Lots = 2,
}

/// <summary>Rows of the summary as a cross table: classes down, colours across, what is not known last; only lines with something in them.</summary>
public sealed class StockTable
{
    private readonly ILookup<(WeightClass?, ColourFamily?), SummaryRow> _cells;
    private readonly IReadOnlyList<SummaryRow> _rows;
    private readonly StockMeasure _measure;
    private readonly int[] _classShares;
    private readonly int[] _colourShares;

    public StockTable(IReadOnlyList<SummaryRow> rows, StockMeasure measure)
    {
        (_rows, _measure) = (rows, measure);
        _cells = rows.ToLookup(row => (row.WeightClass, row.ColourFamily));
        Classes = [.. rows.Select(row => row.WeightClass).Distinct().OrderBy(weight => weight ?? (WeightClass)int.MaxValue)];
        Colours = [.. rows.Select(row => row.ColourFamily).Distinct().OrderBy(colour => colour ?? (ColourFamily)int.MaxValue)];
        Total = Value(rows);
        _classShares = Shares.Tenths([.. Classes.Select(weight => Part(OfClass(rows, weight)))]);
        _colourShares = Shares.Tenths([.. Colours.Select(colour => Part(OfColour(rows, colour)))]);
    }

    public IReadOnlyList<WeightClass?> Classes { get; }

    public IReadOnlyList<ColourFamily?> Colours { get; }

    /// <summary>
    /// Of all cells, in metres, milligrams or lots. Metres are what may be promised of all together, which is more than the cells' own
    /// promises together: not all of them are short at once.
    /// </summary>
    public double Total { get; }

    /// <summary>Tenths of a percent that all shares add up to: 100.0 %, or nothing where there is nothing.</summary>
    public int TotalShare => Total > 0 ? Shares.Whole : 0;

    /// <summary>Null where the cell is empty.</summary>
    public double? Cell(WeightClass? weight, ColourFamily? colour) => _cells.Contains((weight, colour)) ? Value(_cells[(weight, colour)]) : null;

    public double OfClass(WeightClass? weight) => Value(OfClass(_rows, weight));

    public double OfColour(ColourFamily? colour) => Value(OfColour(_rows, colour));

    /// <summary>Low, likely and high of one colour together, in metres.</summary>
    public LengthRange RangeOfColour(ColourFamily? colour) => SummaryRow.Total(OfColour(_rows, colour));

    /// <summary>The same of everything.</summary>
    public LengthRange Whole => SummaryRow.Total(_rows);

    /// <summary>What shares and drawn sizes go by, since they must add up: mean metres, milligrams or lots.</summary>
    public double PartOfCell(WeightClass? weight, ColourFamily? colour) => Part(_cells[(weight, colour)]);

    public double PartOfClass(WeightClass? weight) => Part(OfClass(_rows, weight));

    public double PartOfColour(ColourFamily? colour) => Part(OfColour(_rows, colour));

    /// <summary>Tenths of a percent; the shares of all classes add up to 100.0 %.</summary>
    public int ClassShare(WeightClass? weight) => _classShares[At(Classes, weight)];

    /// <summary>Tenths of a percent; the shares of all colours add up to 100.0 %.</summary>
    public int ColourShare(ColourFamily? colour) => _colourShares[At(Colours, colour)];

    private static int At<T>(IReadOnlyList<T> places, T place) => ((List<T>)[.. places]).IndexOf(place);

    private static IEnumerable<SummaryRow> OfClass(IReadOnlyList<SummaryRow> rows, WeightClass? weight) => rows.Where(row => row.WeightClass == weight);

    private static IEnumerable<SummaryRow> OfColour(IReadOnlyList<SummaryRow> rows, ColourFamily? colour) => rows.Where(row => row.ColourFamily == colour);

    private double Value(IEnumerable<SummaryRow> rows) => _measure == StockMeasure.Length ? SummaryRow.Total(rows).Low.Metres : Part(rows);

    private double Part(IEnumerable<SummaryRow> rows) => rows.Sum(row => _measure switch
    {
        StockMeasure.Length => row.Length.Mean,
        StockMeasure.Grams => row.Mg,
        _ => row.Lots,
    });
}
