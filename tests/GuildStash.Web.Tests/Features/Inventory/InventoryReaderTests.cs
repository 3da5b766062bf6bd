using GuildStash.Data;
using GuildStash.Data.Stock;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Inventory;

public sealed class InventoryReaderTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Filter_WhenAnyIsSet_LeavesTheLotsThatFit()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await room.BagAsync();
        BinView blues = await room.BinAsync("Blues_1");
        Dictionary<string, LotView> lots = new()
        {
            ["sock"] = await room.LotAsync(bag, 100, WeightClass.Fingering, l => l with
            {
                ColourHex = "#4f6d8f",
                Fibres = [new FibreInput("WO", 75), new FibreInput("PA", 25)],
                FibreBasis = FibreBasis.BandSeen,
                MachineWashable = Tristate.Yes,
                DyeLot = "A7 45",
                BinCode = blues.Code,
            }),
            ["cotton"] = await room.LotAsync(bag, 50, WeightClass.Dk, l => l with { ColourFamily = ColourFamily.Red, Fibres = [new FibreInput("CO", null)], MachineWashable = Tristate.No, Notes = "100 % of it is knotted_here" }),
            ["mystery"] = await room.LotAsync(bag, 30, null),
            ["unweighed"] = await room.LotAsync(bag, null, WeightClass.Dk, l => l with { ColourFamily = ColourFamily.Red }),
            ["held"] = await room.LotAsync(bag, 20, WeightClass.Aran),
            ["apart"] = await room.LotAsync(await room.BagAsync(1000, "damp"), 60, WeightClass.Lace),
            ["gone"] = await room.LotAsync(bag, 10, WeightClass.Bulky, l => l with { BinCode = blues.Code }),
        };
        await room.HoldAsync(lots["held"].Code, 20);
        await room.DoAsync<CountBin, CountedBin>(u => u.RunAsync(room.Volunteer, blues.Code, [new CountedLot(lots["gone"].Code, 0)], Cancellation));
        await room.ApproveAllAsync();
        await AgeAsync(room, lots["mystery"], 40);
        string donation = lots["apart"].DonationNumber;

        await ExpectAsync(room, lots, new LotFilter(), "apart cotton held mystery sock unweighed");
        await ExpectAsync(room, lots, new LotFilter { WeightClass = WeightClass.Dk }, "cotton unweighed");
        await ExpectAsync(room, lots, new LotFilter { ClassUnknown = true }, "mystery");
        await ExpectAsync(room, lots, new LotFilter { ColourFamily = ColourFamily.Blue }, "sock");
        await ExpectAsync(room, lots, new LotFilter { ColourUnknown = true }, "apart held mystery");
        await ExpectAsync(room, lots, new LotFilter { Fibre = "wo" }, "sock");
        await ExpectAsync(room, lots, new LotFilter { Fibre = "unknown" }, "apart held mystery unweighed");
        await ExpectAsync(room, lots, new LotFilter { Washable = true }, "sock");
        await ExpectAsync(room, lots, new LotFilter { Washable = false }, "apart cotton held mystery unweighed");
        await ExpectAsync(room, lots, new LotFilter { DyeLot = "a7" }, "sock");
        await ExpectAsync(room, lots, new LotFilter { BinCode = blues.Display }, "sock");
        await ExpectAsync(room, lots, new LotFilter { Status = LotStatus.Available }, "cotton mystery sock");
        await ExpectAsync(room, lots, new LotFilter { Status = LotStatus.Reserved }, "held");
        await ExpectAsync(room, lots, new LotFilter { Status = LotStatus.Quarantined }, "apart");
        await ExpectAsync(room, lots, new LotFilter { Status = LotStatus.Unweighed }, "unweighed");
        await ExpectAsync(room, lots, new LotFilter { Status = LotStatus.Closed }, "gone");
        await ExpectAsync(room, lots, new LotFilter { Part = StockPart.OnShelves }, "cotton held mystery sock unweighed");
        await ExpectAsync(room, lots, new LotFilter { AtLeastDaysOld = 30 }, "mystery");
        await ExpectAsync(room, lots, new LotFilter { AtMostDaysOld = 30 }, "apart cotton held sock unweighed");
        await ExpectAsync(room, lots, new LotFilter { MinMetres = 200 }, "sock");
        await ExpectAsync(room, lots, new LotFilter { MinMetres = 0.1 }, "cotton sock");
        await ExpectAsync(room, lots, new LotFilter { Query = lots["held"].Display }, "held");
        await ExpectAsync(room, lots, new LotFilter { Query = donation }, "apart");
        await ExpectAsync(room, lots, new LotFilter { Query = "0 % of it" }, "cotton");
        await ExpectAsync(room, lots, new LotFilter { Query = "blues_1" }, "sock");
        await ExpectAsync(room, lots, new LotFilter { Query = "blues%1" }, "");
        await ExpectAsync(room, lots, new LotFilter { Query = "KNOTTED_Here" }, "cotton");
        await ExpectAsync(room, lots, new LotFilter { Query = "a7 45" }, "sock");
        await ExpectAsync(room, lots, new LotFilter { Query = "S_" }, "sock");
        await ExpectAsync(room, lots, new LotFilter { Query = "s%" }, "");
        await ExpectAsync(room, lots, new LotFilter { WithClosed = true }, "apart cotton gone held mystery sock unweighed");
        await ExpectAsync(room, lots, new LotFilter { WeightClass = WeightClass.Dk, ColourFamily = ColourFamily.Red, Washable = false, Status = LotStatus.Available, MinMetres = 50 }, "cotton");
    }

    [Fact]
    public async Task Search_WhenNotesChange_TheDatabaseKeepsTheWordsItself()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(await room.BagAsync(), 100, WeightClass.Dk, l => l with { Notes = "Grey heather" });
        Dictionary<string, LotView> lots = new() { ["lot"] = lot };
        await ExpectAsync(room, lots, new LotFilter { Query = "heather" }, "lot");
        await ExpectAsync(room, lots, new LotFilter { Query = "th" }, "lot");

        await using (GuildDbContext db = room.Look())
        {
            await db.Database.ExecuteSqlAsync($"update lot set notes = 'Moss stitch swatch', words = 'made up' where id = {lot.Id}", Cancellation);
        }

        await ExpectAsync(room, lots, new LotFilter { Query = "SWATCH" }, "lot");
        await ExpectAsync(room, lots, new LotFilter { Query = "heather" }, "");
        await ExpectAsync(room, lots, new LotFilter { Query = "made up" }, "");
        await ExpectAsync(room, lots, new LotFilter { Query = "ss" }, "lot");
        await ExpectAsync(room, lots, new LotFilter { Query = "s s" }, "lot");
        await ExpectAsync(room, lots, new LotFilter { Query = "ea" }, "");
    }

    [Fact]
    public async Task InvalidFilter_WhenTheBinCodeIsMistyped_IsRefusedAtItsField()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LotFilter filter = new() { BinCode = "K7MT" };

        Assert.Equal("bin", (await room.UseAsync<InventoryReader, Outcome<PageOf<LotView>>>(u => u.LotsAsync(room.Member, filter, LotOrder.Newest, new PageRequest(1), Cancellation))).Refusal.Field);
        Assert.Equal("bin", (await room.UseAsync<InventoryReader, Outcome<StockHead>>(u => u.HeadAsync(room.Member, filter, Cancellation))).Refusal.Field);
        Assert.Equal("bin", (await room.UseAsync<InventoryReader, Outcome<IReadOnlyList<WallCell>>>(u => u.WallAsync(room.Member, filter, StockPart.Free, 10, Cancellation))).Refusal.Field);
    }

    [Theory]
    [InlineData(LotOrder.Newest, "c a b")]
    [InlineData(LotOrder.Oldest, "b a c")]
    [InlineData(LotOrder.Heaviest, "b c a")]
    [InlineData(LotOrder.LongestFree, "a c b")]
    [InlineData(LotOrder.ShelfOrder, "c b a")]
    public async Task Order_WhenAskedFor_PutsTheLotsInIt(LotOrder order, string expected)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await room.BagAsync();
        BinView first = await room.BinAsync("Alpacas");
        BinView second = await room.BinAsync("Blues");
        Dictionary<string, LotView> lots = new()
        {
            ["a"] = await room.LotAsync(bag, 50, WeightClass.Lace),
            ["b"] = await room.LotAsync(bag, 90, WeightClass.Jumbo, l => l with { BinCode = second.Code }),
            ["c"] = await room.LotAsync(bag, 60, WeightClass.Dk, l => l with { BinCode = first.Code }),
        };
        await AgeAsync(room, lots["b"], 2);
        await AgeAsync(room, lots["a"], 1);

        PageOf<LotView> page = await room.DoAsync<InventoryReader, PageOf<LotView>>(u => u.LotsAsync(room.Member, new LotFilter(), order, new PageRequest(1), Cancellation));

        Assert.Equal(expected, string.Join(' ', page.Items.Select(lot => lots.Single(known => known.Value.Id == lot.Id).Key)));
    }

    [Fact]
    public async Task Page_WhenTheListIsLong_HandsOutOnePartInTwoQuestions()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await room.BagAsync();
        for (int i = 0; i < 7; i++)
        {
            await room.LotAsync(bag, 10 + i);
        }

        using SqlCount sql = new();
        PageOf<LotView> last = await room.DoAsync<InventoryReader, PageOf<LotView>>(u => u.LotsAsync(room.Member, new LotFilter(), LotOrder.Heaviest, new PageRequest(3, 3), Cancellation));

        Assert.Equal(3, sql.Commands.Count);
        Assert.Equal((7, 1, 10_000L), (last.Total, last.Items.Count, last.Items[0].OnHandMg!.Value));
        Assert.Empty((await room.DoAsync<InventoryReader, PageOf<LotView>>(u => u.LotsAsync(room.Member, new LotFilter(), LotOrder.Heaviest, new PageRequest(4, 3), Cancellation))).Items);
    }

    [Theory]
    [InlineData(0, 50, "page")]
    [InlineData(-1, 50, "page")]
    [InlineData(1_000_001, 50, "page")]
    [InlineData(1, 0, "pageSize")]
    [InlineData(1, 501, "pageSize")]
    public async Task InvalidPage_WhenOutOfBounds_IsRefused(int page, int pageSize, string field)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        Outcome<PageOf<LotView>> outcome = await room.UseAsync<InventoryReader, Outcome<PageOf<LotView>>>(u => u.LotsAsync(room.Member, new LotFilter(), LotOrder.Newest, new PageRequest(page, pageSize), Cancellation));

        Assert.Equal(field, outcome.Refusal.Field);
    }

    [Fact]
    public async Task Questions_WhenThereAreManyLots_StayAsFewAsForOne()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await room.BagAsync();
        BinView bin = await room.BinAsync("Blues");
        BinView other = await room.BinAsync("Greens");
        List<string> codes = [];
        for (int i = 0; i < 6; i++)
        {
            codes.Add((await room.LotAsync(bag, 20, more: l => l with { BinCode = bin.Code })).Code);
        }

        using SqlCount sql = new();
        await room.DoAsync<BinReader, PageOf<BinView>>(u => u.PageAsync(room.Member, false, null, new PageRequest(1), Cancellation));
        Assert.Equal(3, sql.Commands.Count);

        int one = await CountAsync(sql, () => room.DoAsync<CountBin, CountedBin>(u => u.CompareAsync(room.Volunteer, bin.Code, [new CountedLot(codes[0], 20)], Cancellation)));
        int all = await CountAsync(sql, () => room.DoAsync<CountBin, CountedBin>(u => u.CompareAsync(room.Volunteer, bin.Code, [.. codes.Select(c => new CountedLot(c, 20))], Cancellation)));
        Assert.Equal(one, all);

        int moveOne = await CountAsync(sql, () => room.DoAsync<MoveLots, MovedLots>(u => u.RunAsync(room.Volunteer, other.Code, codes[..1], Cancellation)));
        int moveRest = await CountAsync(sql, () => room.DoAsync<MoveLots, MovedLots>(u => u.RunAsync(room.Volunteer, other.Code, codes[1..], Cancellation)));
        Assert.Equal(moveOne, moveRest);
    }

    [Fact]
    public async Task Story_WhenAMemberReadsIt_KeepsOtherPeopleOut()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        BinView blues = await room.BinAsync("Blues");
        LotView lot = await room.LotAsync(await room.BagAsync());
        await room.DoAsync<MoveLots, MovedLots>(u => u.RunAsync(room.Volunteer, blues.Code, [lot.Code], Cancellation));

        IReadOnlyList<StoryLine> member = await room.DoAsync<LotStory, IReadOnlyList<StoryLine>>(u => u.RunAsync(room.Member, lot.Id, Cancellation));
        IReadOnlyList<StoryLine> volunteer = await room.DoAsync<LotStory, IReadOnlyList<StoryLine>>(u => u.RunAsync(room.Volunteer, lot.Id, Cancellation));

        Assert.Equal(["", ""], member.Select(line => line.ByName));
        Assert.Equal(["Vera Volunteer", "Vera Volunteer"], volunteer.Select(line => line.ByName));
        Assert.Equal($"{blues.Display} Blues", member[1].ToName);
        Assert.EndsWith("/1", member[0].FromName, StringComparison.Ordinal);
    }

    private static async Task<int> CountAsync<T>(SqlCount sql, Func<Task<T>> act)
    {
        sql.Clear();
        await act();
        return sql.Commands.Count;
    }

    private static async Task ExpectAsync(GuildRoom room, Dictionary<string, LotView> lots, LotFilter filter, string expected)
    {
        PageOf<LotView> page = await room.DoAsync<InventoryReader, PageOf<LotView>>(u => u.LotsAsync(room.Member, filter, LotOrder.Newest, new PageRequest(1), Cancellation));
        string found = string.Join(' ', page.Items.Select(lot => lots.Single(known => known.Value.Id == lot.Id).Key).Order(StringComparer.Ordinal));
        Assert.True(expected == found, $"{filter}: expected \"{expected}\", found \"{found}\".");
    }

    private static async Task AgeAsync(GuildRoom room, LotView lot, int days)
    {
        await using GuildDbContext db = room.Look();
        await db.Set<Lot>().Where(l => l.Id == lot.Id).ExecuteUpdateAsync(set => set.SetProperty(l => l.CreatedAt, l => l.CreatedAt.AddDays(-days)), Cancellation);
    }
}
