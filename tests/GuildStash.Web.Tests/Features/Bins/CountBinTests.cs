using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Domain.Counting;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Bins;

public sealed class CountBinTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Theory]
    [InlineData(100, 97.5, PlaceKind.Bin, PlaceKind.Adjustment, MovementReason.Counted, 2_500, CountOutcome.Booked)]
    [InlineData(100, 104, PlaceKind.Adjustment, PlaceKind.Bin, MovementReason.Counted, 4_000, CountOutcome.Booked)]
    [InlineData(3, 0, PlaceKind.Bin, PlaceKind.Lost, MovementReason.GoneMissing, 3_000, CountOutcome.Booked)]
    [InlineData(100, 60, PlaceKind.Bin, PlaceKind.Adjustment, MovementReason.Counted, 40_000, CountOutcome.Asked)]
    [InlineData(100, 0, PlaceKind.Bin, PlaceKind.Lost, MovementReason.GoneMissing, 100_000, CountOutcome.Asked)]
    public async Task Count_WhenTheScaleDiffers_BooksTheDifferenceAtOnceOrAfterASecondPerson(decimal book, decimal found, PlaceKind from, PlaceKind to, MovementReason reason, long mg, CountOutcome outcome)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        BinView bin = await room.BinAsync("Blues");
        LotView lot = await room.LotAsync(await room.BagAsync(), book, more: l => l with { BinCode = bin.Code });

        CountedBin counted = await CountAsync(room, bin, new CountedLot(lot.Code, found));

        Assert.Equal(new CountedLine(lot.Code, (long)(book * 1000), (long)(found * 1000), outcome), Assert.Single(counted.Lines));
        if (outcome == CountOutcome.Asked)
        {
            Assert.Equal((long)(book * 1000), (await room.ReadAsync(lot.Code)).OnHandMg);
            await room.ApproveAllAsync();
        }

        await using GuildDbContext db = room.Look();
        Movement movement = await db.Movements.Where(m => m.LotId == lot.Id).OrderBy(m => m.Sequence).LastAsync(Cancellation);
        Assert.Equal((from, to, reason, mg), (movement.FromKind, movement.ToKind, movement.Reason, movement.Mg));
        LotView after = await room.ReadAsync(lot.Code);
        Assert.Equal((long)(found * 1000), after.OnHandMg);
        Assert.Equal(found == 0 ? LotStatus.Closed : LotStatus.Available, after.Status);
    }

    [Fact]
    public async Task Count_WhenAllAgrees_BooksNothingButTheDay()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        BinView bin = await room.BinAsync("Blues");
        Guid bag = await room.BagAsync();
        LotView lot = await room.LotAsync(bag, 80, more: l => l with { BinCode = bin.Code });
        LotView notLookedAt = await room.LotAsync(bag, 60, more: l => l with { BinCode = bin.Code });
        Assert.Null(bin.LastCountedAt);

        await CountAsync(room, bin, new CountedLot(lot.Code, 80));

        await using GuildDbContext db = room.Look();
        Assert.Equal(2, await db.Movements.CountAsync(m => m.LotId == lot.Id || m.LotId == notLookedAt.Id, Cancellation));
        BinView after = await room.DoAsync<BinReader, BinView>(u => u.ByCodeAsync(room.Member, bin.Code, Cancellation));
        Assert.NotNull(after.LastCountedAt);
        Assert.Equal(140_000, after.Mg);
    }

    [Fact]
    public async Task Compare_WhenTheScaleDiffers_ShowsWhatWouldBeBookedAndBooksNothing()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        BinView bin = await room.BinAsync("Blues");
        LotView lot = await room.LotAsync(await room.BagAsync(), 100, more: l => l with { BinCode = bin.Code });

        CountedBin compared = await room.DoAsync<CountBin, CountedBin>(u => u.CompareAsync(room.Volunteer, bin.Code, [new CountedLot(lot.Code, 90)], Cancellation));

        Assert.Equal(new CountedLine(lot.Code, 100_000, 90_000, CountOutcome.Asked), Assert.Single(compared.Lines));
        Assert.Equal(100_000, (await room.ReadAsync(lot.Code)).OnHandMg);
        Assert.Null((await room.DoAsync<BinReader, BinView>(u => u.ByCodeAsync(room.Member, bin.Code, Cancellation))).LastCountedAt);
    }

    [Fact]
    public async Task Count_WhenMoreIsPromisedThanWasFound_IsRefusedAtItsLine()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        BinView bin = await room.BinAsync("Blues");
        Guid bag = await room.BagAsync();
        LotView other = await room.LotAsync(bag, 50, more: l => l with { BinCode = bin.Code });
        LotView promised = await room.LotAsync(bag, 100, more: l => l with { BinCode = bin.Code });
        await room.HoldAsync(promised.Code, 70);

        Outcome<CountedBin> outcome = await TryAsync(room, bin, new CountedLot(other.Code, 10), new CountedLot(promised.Code, 69.999m));

        Refusal refusal = Assert.Single(outcome.Refusals);
        Assert.Equal("lots[1]", refusal.Field);
        Assert.Matches($@"^70 g of lot {promised.Display} are promised, more than was found: 70 g of Mia Member \(R-\d{{4}}-0001\)\. First cancel a request under Hand-over, or put a kit back on the kit's own page\.$", refusal.ToString());
        Assert.Equal(50_000, (await room.ReadAsync(other.Code)).OnHandMg);
    }

    [Fact]
    public async Task InvalidCount_WhenLinesAreWrong_NamesEachLine()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        BinView bin = await room.BinAsync("Blues");
        Guid bag = await room.BagAsync();
        LotView here = await room.LotAsync(bag, 50, more: l => l with { BinCode = bin.Code });
        LotView elsewhere = await room.LotAsync(bag, 50);

        Outcome<CountedBin> outcome = await TryAsync(room, bin,
            new CountedLot(here.Code, 50), new CountedLot(here.Code, 50), new CountedLot(elsewhere.Code, 50), new CountedLot("nonsense", 1), new CountedLot(here.Code, -1), new CountedLot(here.Code, 40_000));

        Assert.Equal(["lots[1]", "lots[2]", "lots[3]", "lots[4]", "lots[5]"], outcome.Refusals.Select(r => r.Field!).Distinct().Order());
    }

    [Fact]
    public async Task Count_WhenAQuarantinedLotIsCounted_BooksItFromQuarantine()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(await room.BagAsync(1000, "damp"), 100);
        BinView bin = await room.DoAsync<BinReader, BinView>(u => u.ByCodeAsync(room.Member, lot.BinCode, Cancellation));

        await CountAsync(room, bin, new CountedLot(lot.Code, 96));

        LotView after = await room.ReadAsync(lot.Code);
        Assert.Equal((96_000L, 96_000L), (after.OnHandMg!.Value, after.QuarantinedMg));
    }

    private static Task<CountedBin> CountAsync(GuildRoom room, BinView bin, params CountedLot[] lots) =>
        room.DoAsync<CountBin, CountedBin>(u => u.RunAsync(room.Volunteer, bin.Code, lots, Cancellation));

    private static Task<Outcome<CountedBin>> TryAsync(GuildRoom room, BinView bin, params CountedLot[] lots) =>
        room.UseAsync<CountBin, Outcome<CountedBin>>(u => u.RunAsync(room.Volunteer, bin.Code, lots, Cancellation));
}
