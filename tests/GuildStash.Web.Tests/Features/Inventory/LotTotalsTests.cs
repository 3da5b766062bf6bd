using GuildStash.Data;
using GuildStash.Data.Stock;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Inventory;

/// <summary>What the database sums against what the domain computes lot by lot.</summary>
public sealed class LotTotalsTests(PostgresFixture postgres)
{
    private const double Relative = 1e-9;

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Theory]
    [InlineData(StockPart.OnShelves)]
    [InlineData(StockPart.Free)]
    [InlineData(StockPart.InQuarantine)]
    public async Task Sum_WhenScalesAndEvidenceDiffer_IsWhatTheDomainAddsUp(StockPart part)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await FillAsync(room);

        IReadOnlyList<SummaryRow> rows = await room.DoAsync<InventoryReader, IReadOnlyList<SummaryRow>>(u => u.SummaryAsync(room.Member, new LotFilter(), part, Cancellation));

        await using GuildDbContext db = room.Look();
        List<Lot> lots = [.. (await db.Lots.Where(l => l.ClosedAt == null).ToListAsync(Cancellation)).Where(lot => Counts(lot, part))];
        Assert.Equal(lots.Count, rows.Sum(row => row.Lots));
        foreach (IGrouping<(ColourFamily?, WeightClass?), Lot> cell in lots.GroupBy(lot => (lot.ColourFamily, lot.WeightClass)))
        {
            SummaryRow row = rows.Single(r => (r.ColourFamily, r.WeightClass) == cell.Key);
            LengthRange length = LengthSums.Total(cell.Select(lot => SumsOf(lot, MgOf(lot, part))));
            Assert.Equal(cell.Sum(lot => MgOf(lot, part)), row.Mg);
            AssertNear(length.Low.Metres, row.MetresLow);
            AssertNear(length.Likely.Metres, row.MetresLikely);
            AssertNear(length.High.Metres, row.MetresHigh);
        }
    }

    [Fact]
    public async Task Head_WhenSomeIsHeldQuarantinedOrUnweighed_TellsThemApart()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await FillAsync(room);

        StockHead head = await room.DoAsync<InventoryReader, StockHead>(u => u.HeadAsync(room.Member, new LotFilter(), Cancellation));
        IReadOnlyList<SummaryRow> free = await room.DoAsync<InventoryReader, IReadOnlyList<SummaryRow>>(u => u.SummaryAsync(room.Member, new LotFilter(), StockPart.Free, Cancellation));

        Assert.Equal((9, 2, 60_000L, 2, 190_000L, 1), (head.FreeLots, head.ReservedLots, head.ReservedMg, head.QuarantinedLots, head.QuarantinedMg, head.Unweighed));
        Assert.Equal(free.Sum(row => row.Mg), head.FreeMg);
        AssertNear(SummaryRow.Total(free).Low.Metres, head.FreeMetresLow);
        AssertNear(SummaryRow.Total(free).Likely.Metres, head.FreeMetresLikely);
        AssertNear(SummaryRow.Total(free).High.Metres, head.FreeMetresHigh);
        Assert.True(head.FreeMetresLow > free.Sum(row => row.MetresLow), "All together promise more than each cell alone.");
    }

    [Fact]
    public async Task Head_WhenThereIsNothing_IsZero()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        Assert.Equal(new StockHead(0, 0, 0, 0, 0, 0, 0, 0, 0, 0), await room.DoAsync<InventoryReader, StockHead>(u => u.HeadAsync(room.Member, new LotFilter(), Cancellation)));
    }

    [Fact]
    public async Task Wall_WhenACellHasMoreLotsThanFit_ShowsTheLongestAndCountsAll()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await room.BagAsync();
        for (int i = 1; i <= 9; i++)
        {
            await room.LotAsync(bag, 10 * i, more: l => l with { ColourHex = "#4f6d8f" });
        }

        LotView alone = await room.LotAsync(bag, 40, WeightClass.Lace, l => l with { ColourHex = "#b5485a" });
        LotView unknown = await room.LotAsync(bag, 40, null);
        await room.LotAsync(bag, null, WeightClass.Lace);

        using SqlCount sql = new();
        IReadOnlyList<WallCell> cells = await room.DoAsync<InventoryReader, IReadOnlyList<WallCell>>(u => u.WallAsync(room.Member, new LotFilter(), StockPart.Free, 4, Cancellation));

        Assert.Equal(3, sql.Commands.Count);
        Assert.Contains("ROW_NUMBER() OVER(PARTITION BY", sql.Commands[2], StringComparison.Ordinal);
        Assert.Equal(3, cells.Count);
        WallCell full = cells.Single(c => c.Figures.WeightClass == WeightClass.Dk);
        Assert.Equal((9, 4), (full.Figures.Lots, full.Blocks.Count));
        Assert.Equal(full.Blocks.OrderByDescending(b => b.MetresLow), full.Blocks);
        AssertNear((await room.ReadAsync(full.Blocks[0].Code)).MetresLow!.Value, full.Blocks[0].MetresLow!.Value);
        Assert.Equal(90_000, (await room.ReadAsync(full.Blocks[0].Code)).OnHandMg);
        Assert.Equal(alone.Code, Assert.Single(cells.Single(c => c.Figures.WeightClass == WeightClass.Lace).Blocks).Code);
        WallBlock unmeasured = Assert.Single(cells.Single(c => c.Figures.WeightClass is null).Blocks);
        Assert.Equal(new WallBlock(unknown.Code, null, null), unmeasured);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(101)]
    public async Task InvalidWall_WhenAskedForTooMany_Throws(int perCell)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        await Assert.ThrowsAsync<ArgumentOutOfRangeException>(() => room.DoAsync<InventoryReader, IReadOnlyList<WallCell>>(u => u.WallAsync(room.Member, new LotFilter(), StockPart.Free, perCell, Cancellation)));
    }

    /// <summary>Eleven lots on open shelves and two in quarantine: exact and coarse scales, all kinds of evidence, held in part and in whole.</summary>
    private static async Task FillAsync(GuildRoom room)
    {
        Guid bag = await room.BagAsync();
        LotView held = await room.LotAsync(bag, 100, WeightClass.Aran, l => l with { ScaleDivisionGrams = 1, ColourHex = "#4f6d8f" });
        LotView allHeld = await room.LotAsync(bag, 50, WeightClass.Aran, l => l with { ColourHex = "#4f6d8f" });
        await room.LotAsync(bag, 5, WeightClass.Aran, l => l with { ScaleDivisionGrams = 5, ColourHex = "#4f6d8f" });
        LotView light = await room.LotAsync(bag, 3.7m, WeightClass.Jumbo, l => l with { ColourHex = "#b5485a" });
        await room.LotAsync(bag, 97.25m, null, l => l with { ScaleDivisionGrams = 0.1m, Wraps = new WrapsInput(13, 1), ColourHex = "#b5485a" });
        await room.LotAsync(bag, 48, null, l => l with { ScaleDivisionGrams = 2, Band = new BandInput(200, 50), ColourHex = "#b5485a" });
        await room.LotAsync(bag, 48, null, l => l with { Band = new BandInput(200, 50) });
        LotView lightest = await room.LotAsync(bag, 2, null, l => l with { Band = new BandInput(200, 50) });

        // What is left of a lot may be so light for its scale that the mass sets the upper limit, not the spread.
        await using (GuildDbContext db = room.Look())
        {
            await db.Lots.Where(l => l.Id == light.Id || l.Id == lightest.Id).ExecuteUpdateAsync(s => s.SetProperty(l => l.ScaleDivisionMg, 5000), Cancellation);
        }

        await room.LotAsync(bag, 62, null);
        await room.LotAsync(bag, null, WeightClass.Aran, l => l with { ColourHex = "#4f6d8f" });
        await room.LotAsync(bag, 20, WeightClass.Medium, l => l with { Wraps = new WrapsInput(10, 1), Texture = Texture.Fuzzy });
        await room.HoldAsync(held.Code, 10);
        await room.HoldAsync(allHeld.Code, 50);
        Guid damp = await room.BagAsync(1000, "damp");
        await room.LotAsync(damp, 150, WeightClass.Aran, l => l with { ScaleDivisionGrams = 1, ColourHex = "#4f6d8f" });
        await room.LotAsync(damp, 40, WeightClass.Lace);
    }

    private static bool Counts(Lot lot, StockPart part) => part switch
    {
        StockPart.Free => lot.QuarantineReason is null && MgOf(lot, part) > 0,
        StockPart.OnShelves => lot.QuarantineReason is null,
        _ => lot.QuarantineReason is not null,
    };

    private static long MgOf(Lot lot, StockPart part) => part switch
    {
        StockPart.Free => lot.OnHandMg - lot.QuarantinedMg - lot.HeldMg,
        StockPart.OnShelves => lot.OnHandMg - lot.QuarantinedMg,
        _ => lot.QuarantinedMg,
    };

    private static LengthSums SumsOf(Lot lot, long mg) => YardageEstimator.Estimate(LotTraitsOf.Evidence(lot), WeightClassTable.Default) is { } estimate
        ? LengthSums.Of(lot.WeightClass, LengthMoments.Of(estimate.Distribution), Mass.FromMilligrams(mg), lot.ScaleDivisionMg is { } division ? Mass.FromMilligrams(division) : null)
        : default;

    private static void AssertNear(double expected, double actual) => Assert.Equal(expected, actual, Math.Abs(expected) * Relative);
}
