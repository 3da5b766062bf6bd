using GuildStash.Domain.Colours;
using GuildStash.Domain.WeightClasses;

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
    private readonly Dictionary<(WeightClass?, ColourFamily?), double> _cells;
    private readonly int[] _classShares;
    private readonly int[] _colourShares;

    public StockTable(IReadOnlyList<SummaryRow> rows, StockMeasure measure)
    {
        _cells = rows.ToDictionary(row => (row.WeightClass, row.ColourFamily), row => Value(row, measure));
        Classes = [.. rows.Select(row => row.WeightClass).Distinct().OrderBy(weight => weight ?? (WeightClass)int.MaxValue)];
        Colours = [.. rows.Select(row => row.ColourFamily).Distinct().OrderBy(colour => colour ?? (ColourFamily)int.MaxValue)];
        Total = _cells.Values.Sum();
        _classShares = Shares.Tenths([.. Classes.Select(OfClass)]);
        _colourShares = Shares.Tenths([.. Colours.Select(OfColour)]);
    }

    public IReadOnlyList<WeightClass?> Classes { get; }

    public IReadOnlyList<ColourFamily?> Colours { get; }

    /// <summary>Of all cells, in metres, milligrams or lots.</summary>
    public double Total { get; }

    /// <summary>Tenths of a percent that all shares add up to: 100.0 %, or nothing where there is nothing.</summary>
    public int TotalShare => Total > 0 ? Shares.Whole : 0;

    /// <summary>Null where the cell is empty.</summary>
    public double? Cell(WeightClass? weight, ColourFamily? colour) => _cells.TryGetValue((weight, colour), out double value) ? value : null;

    public double OfClass(WeightClass? weight) => _cells.Where(cell => cell.Key.Item1 == weight).Sum(cell => cell.Value);

    public double OfColour(ColourFamily? colour) => _cells.Where(cell => cell.Key.Item2 == colour).Sum(cell => cell.Value);

    /// <summary>Tenths of a percent; the shares of all classes add up to 100.0 %.</summary>
    public int ClassShare(WeightClass? weight) => _classShares[At(Classes, weight)];

    /// <summary>Tenths of a percent; the shares of all colours add up to 100.0 %.</summary>
    public int ColourShare(ColourFamily? colour) => _colourShares[At(Colours, colour)];

    private static int At<T>(IReadOnlyList<T> places, T place) => ((List<T>)[.. places]).IndexOf(place);

    private static double Value(SummaryRow row, StockMeasure measure) => measure switch
    {
        StockMeasure.Length => row.MetresLow,
        StockMeasure.Grams => row.Mg,
        _ => row.Lots,
    };
}
