using GuildStash.Domain.Projects;
using GuildStash.Web.Infrastructure.Display;

namespace GuildStash.Web.Features.Pieces;

/// <summary>What is typed to reckon the length of one part, for all ways at once.</summary>
public sealed class ReckonForm(PersonDisplay display)
{
    public UnitBox Width { get; } = UnitBox.Size(display);

    public UnitBox Height { get; } = UnitBox.Size(display);

    public UnitBox OwnLow { get; } = UnitBox.Length(display);

    public UnitBox OwnLikely { get; } = UnitBox.Length(display);

    public UnitBox OwnSafe { get; } = UnitBox.Length(display);

    public UnitBox SwatchWidth { get; } = UnitBox.Size(display);

    public UnitBox SwatchHeight { get; } = UnitBox.Size(display);

    public UnitBox SwatchLength { get; } = UnitBox.Length(display);

    public decimal? SwatchGrams { get; set; }

    public UnitBox SwatchPer100Grams { get; } = UnitBox.Length(display);

    public decimal? Stitches { get; set; }

    public UnitBox Over { get; } = UnitBox.Size(display);

    public Fabric Fabric { get; set; }

    public string? RowName { get; set; }

    public UnitBox RowSide { get; } = UnitBox.Size(display);

    public UnitBox Side { get; } = UnitBox.Size(display);

    /// <summary>The row that was used, as it stood then, while the table may have changed.</summary>
    public PieceSize? KeptRow { get; private set; }

    /// <summary>Shows what was entered when the length was reckoned.</summary>
    public void Show(Reckoning? reckoning)
    {
        Over.Show(UnitBox.IsInches(display) ? 10.16 : 10);
        if (reckoning is null)
        {
            return;
        }

        Width.Show(reckoning.WidthCm);
        Height.Show(reckoning.HeightCm);
        SwatchWidth.Show(reckoning.SwatchWidthCm);
        SwatchHeight.Show(reckoning.SwatchHeightCm);
        SwatchLength.Show(reckoning.SwatchMetres);
        SwatchGrams = (decimal?)reckoning.SwatchGrams;
        SwatchPer100Grams.Show(reckoning.SwatchMetresPer100G);
        Stitches = reckoning.Stitches;
        Over.Show((double?)reckoning.OverCm ?? Over.Kept);
        Fabric = reckoning.Fabric ?? Fabric.StockingStitch;
        KeptRow = reckoning.Row;
        RowName = reckoning.Row?.Name;
        RowSide.Show(reckoning.RowSideCm);
        Side.Show(reckoning.SideCm);
    }

    public ReckonDraft ToDraft() => new([.. Boxes.Select(box => box.Take())], SwatchGrams, Stitches, Fabric, RowName, KeptRow);

    public void PutBack(ReckonDraft draft, bool sameUnit)
    {
        foreach ((UnitBox box, TypedFigure? figure) in Boxes.Zip(draft.Figures))
        {
            box.PutBack(figure, sameUnit);
        }

        (SwatchGrams, Stitches, Fabric, RowName, KeptRow) = (draft.SwatchGrams, draft.Stitches, draft.Fabric, draft.RowName, draft.KeptRow);
    }

    /// <summary>In the order in which a draft keeps them.</summary>
    private UnitBox[] Boxes => [Width, Height, OwnLow, OwnLikely, OwnSafe, SwatchWidth, SwatchHeight, SwatchLength, SwatchPer100Grams, Over, RowSide, Side];

    /// <summary>Whether something was typed for the way, so that what is missing may be told.</summary>
    public bool IsBegun(ReckoningWay way) => way switch
    {
        ReckoningWay.Swatch => SwatchWidth.Value is not null || SwatchHeight.Value is not null || SwatchLength.Value is not null || SwatchGrams is not null,
        ReckoningWay.Gauge => Stitches is not null,
        _ => !string.IsNullOrEmpty(RowName),
    };

    /// <param name="sizes">The table in force, whose row counts before a kept one of its name.</param>
    public Reckoning Read(ReckoningWay way, PieceSizes sizes)
    {
        Reckoning part = new() { Way = way, WidthCm = Width.Kept, HeightCm = Height.Kept };
        return way switch
        {
            ReckoningWay.Swatch => part with
            {
                SwatchWidthCm = SwatchWidth.Kept,
                SwatchHeightCm = SwatchHeight.Kept,
                SwatchMetres = SwatchLength.Kept,
                SwatchGrams = SwatchLength.Kept is null ? (double?)SwatchGrams : null,
                SwatchMetresPer100G = SwatchLength.Kept is null ? SwatchPer100Grams.Kept : null,
            },
            ReckoningWay.Gauge => part with { Stitches = Stitches, OverCm = (decimal?)Over.Kept, Fabric = Fabric },
            _ => part with { Row = Row(sizes), RowSideCm = RowSide.Kept, SideCm = Side.Kept },
        };
    }

    private PieceSize? Row(PieceSizes sizes) =>
        sizes.Of(PieceSizes.YarnKind).FirstOrDefault(row => row.Name == RowName) ?? (KeptRow?.Name == RowName ? KeptRow : null);
}
