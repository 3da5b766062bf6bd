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

    public StockTable(IReadOnlyList<SummaryRow> rows, StockMeasure measure)
    {
        _cells = rows.ToDictionary(row => (row.WeightClass, row.ColourFamily), row => Value(row, measure));
        Classes = [.. rows.Select(row => row.WeightClass).Distinct().OrderBy(weight => weight ?? (WeightClass)int.MaxValue)];
        Colours = [.. rows.Select(row => row.ColourFamily).Distinct().OrderBy(colour => colour ?? (ColourFamily)int.MaxValue)];
        Total = _cells.Values.Sum();
    }

    public IReadOnlyList<WeightClass?> Classes { get; }

    public IReadOnlyList<ColourFamily?> Colours { get; }

    /// <summary>Of all cells, in metres, milligrams or lots.</summary>
    public double Total { get; }

    /// <summary>Null where the cell is empty.</summary>
    public double? Cell(WeightClass? weight, ColourFamily? colour) => _cells.TryGetValue((weight, colour), out double value) ? value : null;

    public double OfClass(WeightClass? weight) => _cells.Where(cell => cell.Key.Item1 == weight).Sum(cell => cell.Value);

    public double OfColour(ColourFamily? colour) => _cells.Where(cell => cell.Key.Item2 == colour).Sum(cell => cell.Value);

    /// <summary>0 to 1; 0 where there is nothing at all.</summary>
    public double Share(double part) => Total > 0 ? part / Total : 0;

    private static double Value(SummaryRow row, StockMeasure measure) => measure switch
    {
        StockMeasure.Length => row.MetresLow,
        StockMeasure.Grams => row.Mg,
        _ => row.Lots,
    };
}
