using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Bins;

public sealed class BinUseCaseTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Make_WhenNamed_HasACodeOfItsOwnThatCanBeRead()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        BinView first = await room.BinAsync("Blues");
        BinView second = await room.BinAsync("Blues");

        Assert.NotEqual(first.Code, second.Code);
        Assert.True(BinCode.Parse(first.Code).IsOk);
        Assert.Equal(first.Id, (await room.DoAsync<BinReader, BinView>(u => u.ByCodeAsync(room.Member, first.Display.ToLowerInvariant(), Cancellation))).Id);
    }

    [Fact]
    public async Task KnownFill_WhenHalfOfItsMassLiesInIt_IsAHalf()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        BinView bin = await room.BinAsync("Blues", litres: 50);
        Guid bag = await room.BagAsync();
        await room.LotAsync(bag, 1500, more: l => l with { BinCode = bin.Code });
        await room.LotAsync(bag, 500, more: l => l with { BinCode = bin.Code });
        await room.LotAsync(bag, null, more: l => l with { BinCode = bin.Code });

        BinView after = await room.DoAsync<BinReader, BinView>(u => u.ByCodeAsync(room.Member, bin.Code, Cancellation));

        // 80 g a litre: 50 l hold 4 kg (common practice).
        Assert.Equal((0.5m, 3, 2_000_000L), (after.Fill!.Value, after.Lots, after.Mg));
    }

    [Theory]
    [InlineData("", null, "name")]
    [InlineData("x", 0.0, "litres")]
    [InlineData("x", -4.0, "litres")]
    [InlineData("x", 1000.1, "litres")]
    public async Task InvalidBin_WhenAFieldIsWrong_NamesTheField(string name, double? litres, string field)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        Outcome<BinView> outcome = await room.UseAsync<CreateBin, Outcome<BinView>>(u => u.RunAsync(room.Volunteer, new BinInput(name, BinKind.Shelf, null, null, (decimal?)litres, null), Cancellation));

        Assert.Equal(field, Assert.Single(outcome.Refusals).Field);
    }

    [Fact]
    public async Task Close_WhenYarnLiesInIt_IsRefusedUntilItIsEmpty()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        BinView bin = await room.BinAsync("Blues");
        BinView other = await room.BinAsync("Greens");
        LotView lot = await room.LotAsync(await room.BagAsync(), more: l => l with { BinCode = bin.Code });

        Outcome<bool> full = await room.UseAsync<CloseBin, Outcome<bool>>(u => u.RunAsync(room.Volunteer, bin.Id, true, Cancellation));
        await room.DoAsync<MoveLots, MovedLots>(u => u.RunAsync(room.Volunteer, other.Code, [lot.Code], Cancellation));
        await room.DoAsync<CloseBin, bool>(u => u.RunAsync(room.Volunteer, bin.Id, true, Cancellation));
        Outcome<MovedLots> back = await room.UseAsync<MoveLots, Outcome<MovedLots>>(u => u.RunAsync(room.Volunteer, bin.Code, [lot.Code], Cancellation));
        await room.DoAsync<CloseBin, bool>(u => u.RunAsync(room.Volunteer, bin.Id, false, Cancellation));

        Assert.Equal("bin-not-empty", full.Refusal.Rule);
        Assert.Equal($"Bin {bin.Display} is closed. Choose another.", back.Refusal.ToString());
        Assert.False((await room.DoAsync<BinReader, BinView>(u => u.ByCodeAsync(room.Member, bin.Code, Cancellation))).IsClosed);
    }

    [Fact]
    public async Task Close_WhenItIsTheSortingTable_IsRefused()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        BinView table = (await room.DoAsync<BinReader, IReadOnlyList<BinView>>(u => u.ListAsync(room.Member, false, Cancellation))).Single(b => b.Kind == BinKind.SortingTable);

        Outcome<bool> outcome = await room.UseAsync<CloseBin, Outcome<bool>>(u => u.RunAsync(room.Volunteer, table.Id, true, Cancellation));

        Assert.Equal("bin-is-needed", outcome.Refusal.Rule);
    }

    [Fact]
    public async Task Change_WhenSomebodyElseWasFaster_IsRefusedAndTheKindStays()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        BinView bin = await room.BinAsync("Blues");
        BinInput input = new("Blues and teals", BinKind.Quarantine, bin.SiteId, "shelf 2", 30, "Dry.");

        BinView changed = await room.DoAsync<EditBin, BinView>(u => u.RunAsync(room.Volunteer, bin.Id, bin.Version, input, Cancellation));
        Outcome<BinView> late = await room.UseAsync<EditBin, Outcome<BinView>>(u => u.RunAsync(room.Volunteer, bin.Id, bin.Version, input, Cancellation));

        Assert.Equal(("Blues and teals", BinKind.Shelf, "shelf 2", 30m), (changed.Name, changed.Kind, changed.Place, changed.Litres!.Value));
        Assert.Equal("changed-meanwhile", late.Refusal.Rule);
    }

    [Fact]
    public async Task AddSite_WhenNotCoordinator_IsNotAllowed()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        Outcome<Guid> volunteer = await room.UseAsync<CreateSite, Outcome<Guid>>(u => u.RunAsync(room.Volunteer, "Chapel", Cancellation));
        await room.DoAsync<CreateSite, Guid>(u => u.RunAsync(room.Coordinator, "Chapel", Cancellation));
        Outcome<Guid> again = await room.UseAsync<CreateSite, Outcome<Guid>>(u => u.RunAsync(room.Coordinator, " Chapel ", Cancellation));

        Assert.Equal(RefusalKind.Forbidden, volunteer.Refusal.Kind);
        Assert.Equal("name", again.Refusal.Field);
    }

    [Fact]
    public async Task List_WhenPagedAndSearched_ShowsThePartThatWasAskedFor()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        for (int i = 0; i < 5; i++)
        {
            await room.BinAsync($"Wool {i}");
        }

        BinView percent = await room.BinAsync("100 % wool");
        PageOf<BinView> page = await room.DoAsync<BinReader, PageOf<BinView>>(u => u.PageAsync(room.Member, false, "wool", new PageRequest(2, 2), Cancellation));
        PageOf<BinView> literal = await room.DoAsync<BinReader, PageOf<BinView>>(u => u.PageAsync(room.Member, false, "0 % w", new PageRequest(1), Cancellation));
        PageOf<BinView> code = await room.DoAsync<BinReader, PageOf<BinView>>(u => u.PageAsync(room.Member, false, percent.Display, new PageRequest(1), Cancellation));
        Outcome<PageOf<BinView>> wrong = await room.UseAsync<BinReader, Outcome<PageOf<BinView>>>(u => u.PageAsync(room.Member, false, null, new PageRequest(1, 501), Cancellation));

        Assert.Equal((6, 2, "Wool 1,Wool 2"), (page.Total, page.Items.Count, string.Join(',', page.Items.Select(b => b.Name))));
        Assert.Equal(percent.Id, Assert.Single(literal.Items).Id);
        Assert.Equal(percent.Id, Assert.Single(code.Items).Id);
        Assert.Equal("pageSize", wrong.Refusal.Field);
    }

    [Fact]
    public async Task Find_WhenTheCodeIsUnknown_SaysWhatToCheck()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        Outcome<BinView> unknown = await room.UseAsync<BinReader, Outcome<BinView>>(u => u.ByCodeAsync(room.Member, "K7MS", Cancellation));

        Assert.Equal((RefusalKind.NotFound, "There is no bin K7M-S. Check the label."), (unknown.Refusal.Kind, unknown.Refusal.ToString()));
    }
}
