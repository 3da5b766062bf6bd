using GuildStash.Domain.Ledger;
using GuildStash.Domain.Relotting;
using Xunit;

namespace GuildStash.Domain.Tests.Relotting;

public sealed class FlowTests
{
    private static readonly Guid Bag = Guid.CreateVersion7();
    private static readonly Guid First = Guid.CreateVersion7();
    private static readonly Guid Second = Guid.CreateVersion7();
    private static readonly Guid Project = Guid.CreateVersion7();

    private static FlowEntry Entry(Guid lot, PlaceKind from, PlaceKind to, MovementReason reason, long mg, int stage = 0, Guid? transfer = null, Guid? home = null) => new()
    {
        LotId = lot,
        Stage = stage,
        From = from,
        To = to,
        Reason = reason,
        BagId = from == PlaceKind.Bag ? Bag : null,
        ProjectId = to == PlaceKind.Project ? Project : null,
        TransferId = transfer,
        HomeLotId = home,
        Mg = mg,
        Times = 1,
    };

    /// <summary>300 g sorted; 120 g split off; of them 100 g taken home, of which 40 g came back after the rest was merged into the first lot.</summary>
    private static FlowBook Story()
    {
        (Guid split, Guid merge) = (Guid.CreateVersion7(), Guid.CreateVersion7());
        return FlowBook.Read(
        [
            Entry(First, PlaceKind.Bag, PlaceKind.Bin, MovementReason.Sorted, 300_000),
            Entry(Second, PlaceKind.Relotted, PlaceKind.Bin, MovementReason.Split, 120_000, transfer: split),
            Entry(First, PlaceKind.Bin, PlaceKind.Relotted, MovementReason.Split, 120_000, transfer: split),
            Entry(Second, PlaceKind.Bin, PlaceKind.Member, MovementReason.HandedOver, 100_000, home: Second),
            Entry(First, PlaceKind.Relotted, PlaceKind.Bin, MovementReason.Merged, 20_000, stage: 1, transfer: merge),
            Entry(Second, PlaceKind.Bin, PlaceKind.Relotted, MovementReason.Merged, 20_000, transfer: merge),
            Entry(First, PlaceKind.Member, PlaceKind.Bin, MovementReason.Returned, 40_000, stage: 1, home: Second),
            Entry(Second, PlaceKind.Member, PlaceKind.Project, MovementReason.UsedUp, 60_000, home: Second),
        ]);
    }

    [Fact]
    public void Read_AcrossSplitMergeAndReturn_MeetsInEveryPoint()
    {
        FlowGraph graph = Story().Graph;
        FlowKey merged = new(FlowNodeKind.Lot, First, 1);
        Assert.Equal(240_000, graph.Into(merged));
        Assert.Equal(240_000, graph.Into(new(FlowNodeKind.InRoom, First)));
        Assert.Equal(60_000, graph.Into(new(FlowNodeKind.Pieces, Project)));
        Assert.Equal(180_000, graph.Links.Single(l => l.From == new FlowKey(FlowNodeKind.Lot, First) && l.To == merged).Mg);
        foreach (FlowKey node in graph.Nodes.Where(n => n.Kind is FlowNodeKind.Lot or FlowNodeKind.Home))
        {
            Assert.Equal(graph.Into(node), graph.OutOf(node));
        }
    }

    [Fact]
    public void Read_WhenASplitWasUndone_TellsItAndDrawsNothing()
    {
        (Guid split, Guid back) = (Guid.CreateVersion7(), Guid.CreateVersion7());
        FlowBook book = FlowBook.Read(
        [
            Entry(First, PlaceKind.Bag, PlaceKind.Bin, MovementReason.Sorted, 300_000),
            Entry(Second, PlaceKind.Relotted, PlaceKind.Bin, MovementReason.Split, 120_000, transfer: split) with { IsUndone = true },
            Entry(First, PlaceKind.Bin, PlaceKind.Relotted, MovementReason.Split, 120_000, transfer: split) with { IsUndone = true },
            Entry(First, PlaceKind.Relotted, PlaceKind.Bin, MovementReason.SplitUndone, 120_000, transfer: back) with { IsUndone = true },
            Entry(Second, PlaceKind.Bin, PlaceKind.Relotted, MovementReason.SplitUndone, 120_000, transfer: back) with { IsUndone = true },
        ]);
        Assert.Equal(300_000, book.Graph.Into(new(FlowNodeKind.InRoom, First)));
        Assert.DoesNotContain(book.Graph.Nodes, n => n.Id == Second);
        Assert.Equal(2, book.Steps.Count(s => s.Reason is MovementReason.Split or MovementReason.SplitUndone));
    }

    [Fact]
    public void Add_WhenItGoesThereAndBack_IsNetted()
    {
        FlowGraph graph = new();
        (FlowKey lot, FlowKey home) = (new(FlowNodeKind.Lot, First), new(FlowNodeKind.Home, First));
        graph.Add(lot, home, 100, First);
        graph.Add(home, lot, 30, First);
        Assert.Equal(70, Assert.Single(graph.Links).Mg);
        graph.Add(home, lot, 70, First);
        Assert.Empty(graph.Links);
    }

    [Fact]
    public void Layout_KeepsOneScaleAndPutsEveryPointBelowWhatFlowsIntoIt()
    {
        FlowGraph graph = Story().Graph;
        StrandLayout layout = StrandLayout.Of(graph);

        Assert.Equal(graph.Nodes.Count, layout.Bars.Count);
        Assert.Equal(graph.Links.Count, layout.Bands.Count);
        Dictionary<FlowKey, StrandBar> bars = layout.Bars.ToDictionary(b => b.Node);
        Assert.All(layout.Bands, band =>
        {
            Assert.Equal(band.Link.Mg * layout.PerMg, band.Breadth, 9);
            Assert.True(bars[band.Link.From].Row < bars[band.Link.To].Row);
            Assert.Equal((bars[band.Link.From].Row + 0.5, bars[band.Link.To].Row + 0.5), (band.Points[0].Row, band.Points[^1].Row));
            Assert.All(band.Points, p => Assert.InRange(p.Left, 0, StrandLayout.Width - band.Breadth + 1e-6));
        });
        Assert.All(layout.Bars, bar => Assert.InRange(bar.Left + bar.Breadth, 0, StrandLayout.Width + 1e-6));
    }

    [Fact]
    public void Layout_WithinARow_KeepsStrandsApart()
    {
        StrandLayout layout = StrandLayout.Of(Story().Graph);
        foreach (IGrouping<double, (double Left, double Right)> cut in layout.Bands
            .SelectMany(b => b.Points.Where(p => p.Row == Math.Floor(p.Row)).Select(p => (p.Row, p.Left, Right: p.Left + b.Breadth)))
            .GroupBy(p => p.Row, p => (p.Left, p.Right)))
        {
            (double Left, double Right)[] strands = [.. cut.OrderBy(s => s.Left)];
            for (int i = 1; i < strands.Length; i++)
            {
                Assert.True(strands[i].Left > strands[i - 1].Right, $"Two strands lie upon each other at row {cut.Key}.");
            }
        }
    }
}
