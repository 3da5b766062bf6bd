using GuildStash.Data;
using GuildStash.Data.Stock;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Settings;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Settings;

/// <summary>The guild's own table and what its room learns, from the database to the lots' figures.</summary>
public sealed class GuildYardageTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    /// <summary>The standard table with DK from 13 wraps on instead of 12.</summary>
    private static WeightClassTableInput Own(string name = "ours-1", decimal mediumUpTo = 12.5m) => WeightClassTableInput.Of(WeightClassTable.Default) with
    {
        Name = name,
        Rows = [.. WeightClassTableInput.Of(WeightClassTable.Default).Rows.Select(row => row.WeightClass == WeightClass.Medium ? row with { WrapsUpTo = mediumUpTo } : row)],
    };

    private static Task<TablePreview> PreviewAsync(GuildRoom room, WeightClassTableInput input) =>
        room.DoAsync<PreviewWeightClasses, TablePreview>(u => u.RunAsync(room.Coordinator, input, Cancellation));

    private static Task<Outcome<string>> SaveAsync(GuildRoom room, int version, WeightClassTableInput input) =>
        room.UseAsync<SaveWeightClasses, Outcome<string>>(u => u.RunAsync(room.Coordinator, version, input, Cancellation));

    private static Task<int> RecomputeAsync(GuildRoom room) =>
        room.UseAsync<IDbContextFactory<GuildDbContext>, int>(contexts => room.UseAsync<GuildYardage, int>(yardage => RecomputeJob.RunAsync(contexts, yardage, Cancellation)));

    private static async Task<Guid> BagAsync(GuildRoom room) =>
        (await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(9000, 50, [])] }, Cancellation))).Bags[0].Id;

    private static Task<LotView> AddAsync(GuildRoom room, Guid bag, LotInput lot) => room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, bag, lot, Cancellation));

    private static async Task<Lot> LotAsync(GuildRoom room, Guid id)
    {
        await using GuildDbContext db = room.Look();
        return await db.Lots.SingleAsync(l => l.Id == id, Cancellation);
    }

    /// <summary>A lot that teaches: DK by its wraps, with a band a tenth shorter than the table's middle of 214 m (computed).</summary>
    private static LotInput Teacher(decimal metres = 190, string fibre = "WO") => new()
    {
        Grams = 50,
        Wraps = new WrapsInput(13, 1, []),
        Band = new BandInput(metres, 100),
        Fibres = [new FibreInput(fibre, null)],
    };

    [Fact]
    public async Task Change_WhenTheTableIsSaved_LotsFollowAndKeepWhatABandSaid()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await BagAsync(room);
        LotView counted = await AddAsync(room, bag, new LotInput { Grams = 100, Wraps = new WrapsInput(12, 1, []) });
        LotView banded = await AddAsync(room, bag, new LotInput { Grams = 50, Band = new BandInput(210, 100) });
        LotView named = await AddAsync(room, bag, new LotInput { Grams = 50, WeightClass = WeightClass.Dk });

        TablePreview preview = await PreviewAsync(room, Own());
        Assert.Equal((3, 1, 0), (preview.Lots, preview.Reclassified, preview.OnlyLength));
        LotChange change = Assert.Single(preview.First);
        Assert.Equal((counted.Code, WeightClass.Dk, WeightClass.Medium), (change.Code, change.ClassBefore, change.ClassAfter));
        // Common practice: DK has 200 yd or more in 100 g, worsted or aran 132.
        Assert.Equal((200 * 0.9144, 132 * 0.9144), (change.MetresBefore!.Value, change.MetresAfter!.Value), (a, b) => Math.Abs(a.Item1 - b.Item1) + Math.Abs(a.Item2 - b.Item2) < 1e-6);
        Assert.Equal(WeightClass.Dk, (await LotAsync(room, counted.Id)).WeightClass);

        Assert.Equal("ours-1", (await SaveAsync(room, 0, Own())).Value);
        Assert.Equal(3, (await room.DoAsync<RecomputeReader, RecomputeProgress>(u => u.RunAsync(room.Coordinator, Cancellation))).Waiting);
        Assert.Equal(3, await RecomputeAsync(room));
        Assert.Equal(0, (await room.DoAsync<RecomputeReader, RecomputeProgress>(u => u.RunAsync(room.Coordinator, Cancellation))).Waiting);
        Assert.Equal(0, await RecomputeAsync(room));

        Lot lot = await LotAsync(room, counted.Id);
        Assert.Equal((WeightClass.Medium, "ours-1"), (lot.WeightClass, lot.TableVersion));
        Assert.Equal([WeightClass.Dk, WeightClass.Dk], [(await LotAsync(room, banded.Id)).WeightClass, (await LotAsync(room, named.Id)).WeightClass]);
        Assert.Equal(WeightClass.Medium, (await AddAsync(room, bag, new LotInput { Grams = 30, Wraps = new WrapsInput(12, 1, []) })).WeightClass);
    }

    /// <summary>Another node has its own memory; the stamp that each act reads makes it follow at once.</summary>
    [Fact]
    public async Task Change_WhenSavedOnAnotherNode_TheNextActFollows()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await BagAsync(room);
        await AddAsync(room, bag, new LotInput { Grams = 100, Wraps = new WrapsInput(12, 1, []) });
        await using GuildDbContext db = room.Look();
        GuildYardage other = new();
        await other.ReadAsync(db, Cancellation);

        await SaveAsync(room, 0, Own());

        Assert.Equal("snug-1", other.Now.Table.Version);
        long stamp = await db.Yardage.Select(y => y.Stamp).SingleAsync(Cancellation);
        Assert.Equal("ours-1", (await other.AtAsync(db, stamp, Cancellation)).Table.Version);
        Assert.Equal(other.Now.Table.Rows, GuildYardage.TableOf(await db.WeightClassTables.Include(t => t.Rows).SingleAsync(Cancellation)).Rows);
    }

    [Fact]
    public async Task Invalid_Tables_AreRefusedAndNothingChanges()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        Assert.Equal("rows.dk", Assert.Single((await SaveAsync(room, 0, Own(mediumUpTo: 14.5m))).Refusals).Field);
        Assert.Contains((await SaveAsync(room, 0, Own(mediumUpTo: 0m))).Refusals, refusal => refusal.Field == "rows.medium");
        Assert.Equal("version", Assert.Single((await SaveAsync(room, 0, Own("snug-1"))).Refusals).Field);
        Assert.Equal("changed-meanwhile", Assert.Single((await SaveAsync(room, 7, Own())).Refusals).Rule);
        Assert.Equal("not-allowed", Assert.Single((await room.UseAsync<SaveWeightClasses, Outcome<string>>(u => u.RunAsync(room.Volunteer, 0, Own(), Cancellation))).Refusals).Rule);
        Assert.Equal("rows", Assert.Single((await SaveAsync(room, 0, Own() with { Rows = [] })).Refusals).Field);

        Assert.True((await SaveAsync(room, 0, Own())).IsOk);
        Assert.Equal("version", Assert.Single((await SaveAsync(room, 1, Own())).Refusals).Field);
        Assert.Equal("snug-1", (await SaveAsync(room, 1, new WeightClassTableInput { IsStandard = true })).Value);

        WeightClassTableInForce view = await room.DoAsync<WeightClassTableReader, WeightClassTableInForce>(u => u.RunAsync(room.Coordinator, Cancellation));
        Assert.True(view.IsStandard);
        Assert.Equal([("snug-1", true, "Cora Coordinator"), ("ours-1", false, "Cora Coordinator")], view.History.Select(version => (version.Name, version.IsStandard, version.By)));
    }

    [Fact]
    public void Roundtrip_AddressOfATable()
    {
        string query = Own().ToQuery();
        var parts = System.Web.HttpUtility.ParseQueryString(query);

        WeightClassTableInput read = WeightClassTableInput.OfQuery(false, parts["name"], parts["rows"]);

        Assert.Equal(Own().Rows, read.Rows);
        Assert.Equal(Own().Read().Value.Rows, read.Read().Value.Rows);
    }

    /// <summary>What is stored is what a full computation gives, whatever was added, corrected or taken back since.</summary>
    [Fact]
    public async Task Learn_WhenLotsComeChangeAndGo_TheStoredSumsAreThoseOfAFullComputation()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await BagAsync(room);
        LotView first = await AddAsync(room, bag, Teacher());
        LotView second = await AddAsync(room, bag, Teacher(205));
        await AddAsync(room, bag, Teacher(180, "CO"));
        await AddAsync(room, bag, new LotInput { Grams = 50, Wraps = new WrapsInput(13, 1, []) });
        await AssertLearntAsync(room, 3);

        await room.DoAsync<EditLot, LotView>(u => u.RunAsync(room.Volunteer, first.Id, first.Version, Teacher(215), Cancellation));
        await AssertLearntAsync(room, 3);

        await room.DoAsync<UndoLot, bool>(u => u.RunAsync(room.Volunteer, second.Id, Cancellation));
        await AssertLearntAsync(room, 2);

        await SaveAsync(room, 0, Own());
        await AssertLearntAsync(room, 2);
    }

    /// <summary>Off, it changes nothing; on, lots with wraps follow, and names only where the guild wants it. Forgetting is taken back.</summary>
    [Fact]
    public async Task Use_WhenSwitchedOnForgottenAndRemembered_LotsFollow()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await BagAsync(room);
        for (int i = 0; i < 12; i++)
        {
            await AddAsync(room, bag, Teacher());
        }

        LotView counted = await AddAsync(room, bag, new LotInput { Grams = 100, Wraps = new WrapsInput(13, 1, []), Fibres = [new FibreInput("WO", null)] });
        LotView named = await AddAsync(room, bag, new LotInput { Grams = 100, WeightClass = WeightClass.Dk, Fibres = [new FibreInput("WO", null)] });
        async Task<(double Counted, double Named)> LikelyAsync()
        {
            await RecomputeAsync(room);
            return ((await LotAsync(room, counted.Id)).MetresPer100gLikely!.Value, (await LotAsync(room, named.Id)).MetresPer100gLikely!.Value);
        }

        (double table, double name) = await LikelyAsync();
        await room.DoAsync<SaveLearning, int>(u => u.RunAsync(room.Coordinator, 0, true, false, Cancellation));
        (double Counted, double Named) used = await LikelyAsync();
        Assert.InRange(used.Counted, 190, 0.97 * table);
        Assert.Equal(name, used.Named, 1e-9);
        Assert.Equal(used.Counted, (await AddAsync(room, bag, new LotInput { Grams = 9, Wraps = new WrapsInput(13, 1, []), Fibres = [new FibreInput("WO", null)] })).MetresPer100gLikely!.Value, 1e-9);

        await room.DoAsync<SaveLearning, int>(u => u.RunAsync(room.Coordinator, 1, true, true, Cancellation));
        Assert.InRange((await LikelyAsync()).Named, 190, 0.97 * name);

        await room.DoAsync<ResetLearning, int>(u => u.RunAsync(room.Coordinator, 2, true, Cancellation));
        Assert.Equal((table, name), await LikelyAsync(), (a, b) => Math.Abs(a.Item1 - b.Item1) + Math.Abs(a.Item2 - b.Item2) < 1e-6);
        await AddAsync(room, bag, Teacher(205));
        MeasuringView view = await room.DoAsync<MeasuringReader, MeasuringView>(u => u.RunAsync(room.Coordinator, Cancellation));
        Assert.Equal(1, view.Learning.Line(FibreGroup.Animal).Lots, 1e-9);

        await room.DoAsync<ResetLearning, int>(u => u.RunAsync(room.Coordinator, 3, false, Cancellation));
        Assert.InRange((await LikelyAsync()).Counted, 190, 0.98 * table);
        Assert.Equal("not-allowed", Assert.Single((await room.UseAsync<ResetLearning, Outcome<int>>(u => u.RunAsync(room.Volunteer, 4, true, Cancellation))).Refusals).Rule);
    }

    [Fact]
    public async Task Save_WhenStrandsAndMoistureAreWrong_IsRefused_WhenRight_IsUsed()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await BagAsync(room);
        LotView banded = await AddAsync(room, bag, new LotInput { Grams = 50, Band = new BandInput(120, 50), Fibres = [new FibreInput("WO", 100)] });
        Task<Outcome<int>> StrandsAsync(int version, params StrandSubstitute[] rules) => room.UseAsync<SaveStrands, Outcome<int>>(u => u.RunAsync(room.Coordinator, version, rules, Cancellation));

        Assert.Contains("strands together are thicker than one", Assert.Single((await StrandsAsync(0, new StrandSubstitute(WeightClass.Bulky, 2, WeightClass.Dk))).Refusals).ToString(), StringComparison.Ordinal);
        Assert.False((await StrandsAsync(0, new StrandSubstitute(WeightClass.Dk, 1, WeightClass.Bulky))).IsOk);
        Assert.Equal(1, (await StrandsAsync(0, new StrandSubstitute(WeightClass.Fingering, 3, WeightClass.Aran))).Value);
        Assert.Equal("animal", Assert.Single((await room.UseAsync<SaveMoisture, Outcome<int>>(u => u.RunAsync(room.Coordinator, 1, 41, null, null, Cancellation))).Refusals).Field);
        Assert.Equal(2, await room.DoAsync<SaveMoisture, int>(u => u.RunAsync(room.Coordinator, 1, 10, null, null, Cancellation)));

        Assert.Equal(1, await RecomputeAsync(room));
        MeasuringView view = await room.DoAsync<MeasuringReader, MeasuringView>(u => u.RunAsync(room.Coordinator, Cancellation));
        Assert.Equal((WeightClass.Aran, (WeightClass?)null), (view.Rules.Strands.StandInFor(WeightClass.Fingering, 3), view.Rules.Strands.StandInFor(WeightClass.Dk, 2)));
        // Wool's agreed 17 % over 10 % in the room (computed).
        Assert.Equal(banded.MetresPer100gLikely!.Value * 117 / 110, (await LotAsync(room, banded.Id)).MetresPer100gLikely!.Value, 1e-6);
        Assert.Equal(50_000, (await LotAsync(room, banded.Id)).OnHandMg);
    }

    /// <summary>Lots are taken some hundred at a time; what was done before a stop is not done again.</summary>
    [Fact]
    public async Task Recompute_WhenItWasInterrupted_GoesOnWhereItStopped()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await BagAsync(room);
        LotView done = await AddAsync(room, bag, new LotInput { Grams = 10, Wraps = new WrapsInput(12, 1, []) });
        LotView waits = await AddAsync(room, bag, new LotInput { Grams = 10, Wraps = new WrapsInput(12, 1, []) });
        await SaveAsync(room, 0, Own());
        await using GuildDbContext db = room.Look();
        await db.Lots.Where(l => l.Id == done.Id).ExecuteUpdateAsync(set => set.SetProperty(l => l.YardageEdition, 1), Cancellation);

        Assert.Equal(1, await RecomputeAsync(room));
        Assert.Equal((WeightClass.Dk, WeightClass.Medium), ((await LotAsync(room, done.Id)).WeightClass, (await LotAsync(room, waits.Id)).WeightClass));
    }

    private static async Task AssertLearntAsync(GuildRoom room, int lots)
    {
        await RecomputeAsync(room);
        await using GuildDbContext db = room.Look();
        var stored = await db.Yardage.SingleAsync(Cancellation);
        WeightClassTable table = await GuildYardage.TableAsync(db, Cancellation);
        List<Lot> open = await db.Lots.Where(l => l.ClosedAt == null).OrderBy(l => l.Id).ToListAsync(Cancellation);
        YardageLearning full = YardageLearning.From(open.Select(LotTraitsOf.Evidence), table);

        Assert.Equal(full, GuildYardage.LearningOf(stored.LearntTable, stored.LearntSums));
        Assert.Equal(lots, stored.LearntLots);
        Assert.Equal(lots, Enum.GetValues<FibreGroup>().Sum(group => full.Statistics(group).Lots), 1e-9);
    }

    /// <summary>Twenty lots of one class: what all share does not cancel, and neither does the scale's error.</summary>
    [Fact]
    public async Task SaveTotals_WhenMoreIsShared_TheTotalIsLessSureAndTheLotsAreNot()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await BagAsync(room);
        LotView lot = default!;
        for (int i = 0; i < 20; i++)
        {
            lot = await AddAsync(room, bag, new() { Grams = 100, WeightClass = WeightClass.Dk });
        }

        Task<StockHead> HeadAsync() => room.DoAsync<InventoryReader, StockHead>(u => u.HeadAsync(room.Member, new LotFilter(), Cancellation));
        async Task<IReadOnlyList<SummaryRow>> RowsAsync() => await room.DoAsync<InventoryReader, IReadOnlyList<SummaryRow>>(u => u.SummaryAsync(room.Member, new LotFilter(), StockPart.Free, Cancellation));
        Task<Outcome<int>> SaveAsync(int version, decimal shared, decimal scale) => room.UseAsync<SaveTotals, Outcome<int>>(u => u.RunAsync(room.Coordinator, version, shared, scale, Cancellation));
        StockHead half = await HeadAsync();

        Assert.Equal(1, (await SaveAsync(0, 1, 0)).Value);
        await RecomputeAsync(room);
        StockHead all = await HeadAsync();
        LotView after = await room.ReadAsync(lot.Code);
        Assert.Equal(2, (await SaveAsync(1, 1, 10)).Value);
        Assert.Equal(0, await RecomputeAsync(room));
        StockHead scale = await HeadAsync();

        Assert.True(all.FreeMetresLow < half.FreeMetresLow && all.FreeMetresHigh > half.FreeMetresHigh);
        Assert.Equal(20 * lot.MetresLow!.Value, all.FreeMetresLow, 0.01 * all.FreeMetresLow);
        Assert.Equal((lot.MetresLow, lot.MetresHigh), (after.MetresLow, after.MetresHigh));
        Assert.Equal(all.FreeMetresLikely, scale.FreeMetresLikely, 1e-6);
        double spread = Math.Log(all.FreeMetresLikely / all.FreeMetresLow);
        Assert.Equal(Math.Sqrt((spread * spread) + Math.Pow(0.1 * NormalCurve.NinetyFivePercent, 2)), Math.Log(scale.FreeMetresLikely / scale.FreeMetresLow), 1e-9);
        Assert.Equal(scale.FreeMetresLow, Assert.Single(await RowsAsync()).MetresLow, 1e-6);
    }

    [Theory]
    [InlineData(-0.1, 0, "sharedPart", "0 to 1 is allowed")]
    [InlineData(1.1, 0, "sharedPart", "0 to 1 is allowed")]
    [InlineData(0.5, -1, "scaleErrorPercent", "0 to 10 % is allowed")]
    [InlineData(0.5, 11, "scaleErrorPercent", "0 to 10 % is allowed")]
    public async Task InvalidTotals_AreRefusedWithWhatIsAllowed(double shared, double scale, string field, string allowed)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        Refusal refusal = (await room.UseAsync<SaveTotals, Outcome<int>>(u => u.RunAsync(room.Coordinator, 0, (decimal)shared, (decimal)scale, Cancellation))).Refusal;

        Assert.Equal(field, refusal.Field);
        Assert.Contains(allowed, refusal.Sentence.ToString(), StringComparison.Ordinal);
    }
}
