namespace GuildStash.Web.Features.Inventory;

/// <summary>How large a block is drawn: its area is in proportion to its length, one square pixel a metre unless a cell would overflow.</summary>
public sealed record WallScale(double PixelsPerMetre)
{
    /// <summary>Least side that can still be seen and told from its neighbour, in pixels (judgement).</summary>
    public const double LeastSide = 6;

    /// <summary>Greatest side that fits a cell, in pixels.</summary>
    public const double GreatestSide = 52;

    private const double Gap = 2;

    /// <summary>Square pixels that the fullest cell may fill: its width by about 130 pixels, a quarter of it lost between blocks (judgement).</summary>
    private const double CellArea = 5_400;

    /// <summary>The scale at which the fullest cell stays in bounds.</summary>
    public static WallScale Fit(IEnumerable<WallCell> cells)
    {
        double fullest = cells.Select(cell => cell.Blocks.Sum(block => Math.Pow(Math.Sqrt(block.MetresLow ?? 0) + Gap, 2))).DefaultIfEmpty(0).Max();
        return new WallScale(fullest <= CellArea ? 1 : CellArea / fullest);
    }

    /// <summary>Side of a block in pixels; the least one where nobody knows the length.</summary>
    public double Side(double? metres) => Math.Clamp(Math.Sqrt((metres ?? 0) * PixelsPerMetre), LeastSide, GreatestSide);
}
