using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Storage;
using Xunit;

namespace GuildStash.Web.Tests.Features.Bins;

public sealed class MoveLotsTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Move_WhenLotsAreFree_BooksTheirWayAndCountsThoseThatWereThere()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await room.BagAsync();
        BinView blues = await room.BinAsync("Blues");
        LotView there = await room.LotAsync(bag, 40, more: l => l with { BinCode = blues.Code });
        LotView away = await room.LotAsync(bag, 100.5m);

        MovedLots moved = await room.DoAsync<MoveLots, MovedLots>(u => u.RunAsync(room.Volunteer, blues.Display, [there.Display, away.Code.ToLowerInvariant(), away.Code], Cancellation));

        Assert.Equal(new MovedLots(blues.Code, 1, 1), moved);
        Assert.Equal(blues.Code, (await room.ReadAsync(away.Code)).BinCode);
        await using GuildDbContext db = room.Look();
        Movement way = await db.Movements.SingleAsync(m => m.LotId == away.Id && m.Reason == MovementReason.Moved, Cancellation);
        Assert.Equal((PlaceKind.Bin, PlaceKind.Bin, blues.Id, 100_500L), (way.FromKind, way.ToKind, way.ToId!.Value, way.Mg));
    }

    [Fact]
    public async Task Move_WhenSeveralLotsMayNotGoThere_NamesEachOfThemAndMovesNone()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        BinView blues = await room.BinAsync("Blues");
        LotView free = await room.LotAsync(await room.BagAsync());
        Guid damp = await room.BagAsync(1000, "damp");
        LotView first = await room.LotAsync(damp);
        LotView second = await room.LotAsync(damp);

        Outcome<MovedLots> outcome = await room.UseAsync<MoveLots, Outcome<MovedLots>>(u => u.RunAsync(room.Volunteer, blues.Code, [first.Code, free.Code, second.Code, "K7M4P9U"], Cancellation));

        Assert.Equal(3, outcome.Refusals.Count);
        Assert.Contains(outcome.Refusals, r => r.Rule == "quarantine-bin-only" && r.ToString().Contains(first.Display, StringComparison.Ordinal));
        Assert.Contains(outcome.Refusals, r => r.Rule == "quarantine-bin-only" && r.ToString().Contains(second.Display, StringComparison.Ordinal));
        Assert.Contains(outcome.Refusals, r => r.ToString() == "There is no lot K7M4-P9U. Check the label.");
        Assert.NotEqual(blues.Code, (await room.ReadAsync(free.Code)).BinCode);
    }

    [Fact]
    public async Task Move_WhenTheLotIsFree_NoQuarantineBinTakesIt()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        BinView apart = await room.BinAsync("Cold store", BinKind.Quarantine);
        LotView free = await room.LotAsync(await room.BagAsync());

        Outcome<MovedLots> outcome = await room.UseAsync<MoveLots, Outcome<MovedLots>>(u => u.RunAsync(room.Volunteer, apart.Code, [free.Code], Cancellation));

        Assert.Equal("quarantine-bin-only", Assert.Single(outcome.Refusals).Rule);
    }

    [Theory]
    [InlineData("K7MT", "check character")]
    [InlineData("K7", "not a whole code")]
    public async Task InvalidMove_WhenTheBinCodeIsMistyped_SaysWhatIsWrongWithIt(string bin, string words)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(await room.BagAsync());

        Outcome<MovedLots> outcome = await room.UseAsync<MoveLots, Outcome<MovedLots>>(u => u.RunAsync(room.Volunteer, bin, [lot.Code], Cancellation));

        Assert.Equal("binCode", outcome.Refusal.Field);
        Assert.Contains(words, outcome.Refusal.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Move_WhenAMemberTries_IsNotAllowed()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        BinView blues = await room.BinAsync("Blues");
        LotView lot = await room.LotAsync(await room.BagAsync());

        Outcome<MovedLots> outcome = await room.UseAsync<MoveLots, Outcome<MovedLots>>(u => u.RunAsync(room.Member, blues.Code, [lot.Code], Cancellation));

        Assert.Equal(RefusalKind.Forbidden, outcome.Refusal.Kind);
    }

    [Fact]
    public async Task Quarantine_WhenNothingIsPromised_TakesTheLotOutOfReach()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(await room.BagAsync());

        await room.DoAsync<QuarantineLot, bool>(u => u.RunAsync(room.Volunteer, lot.Id, "Webbing in one ball.", null, Cancellation));

        LotView after = await room.ReadAsync(lot.Code);
        Assert.Equal((LotStatus.Quarantined, 0L, 100_000L), (after.Status, after.FreeMg, after.QuarantinedMg));
        Assert.Equal("Quarantine", after.BinName);
    }

    [Fact]
    public async Task Quarantine_WhenSomeIsPromisedOrNothingIsSaid_IsRefused()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await room.BagAsync();
        LotView promised = await room.LotAsync(bag);
        LotView free = await room.LotAsync(bag);
        await room.HoldAsync(promised.Code, 20);

        Outcome<bool> held = await room.UseAsync<QuarantineLot, Outcome<bool>>(u => u.RunAsync(room.Volunteer, promised.Id, "Webbing.", null, Cancellation));
        Outcome<bool> silent = await room.UseAsync<QuarantineLot, Outcome<bool>>(u => u.RunAsync(room.Volunteer, free.Id, " ", null, Cancellation));

        Assert.Equal("lot-in-use", held.Refusal.Rule);
        Assert.Equal("note", silent.Refusal.Field);
    }

    [Fact]
    public async Task Move_WhenTheBinIsBeingClosed_WaitsAndIsRefused()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        BinView bin = await room.BinAsync("Blues");
        LotView lot = await room.LotAsync(await room.BagAsync());
        await using GuildDbContext db = room.Look();
        await using (IDbContextTransaction closing = await db.Database.BeginTransactionAsync(Cancellation))
        {
            await db.Database.ExecuteSqlAsync($"select 1 from bin where id = {bin.Id} for update", Cancellation);
            Task<Outcome<MovedLots>> move = Task.Run(() => room.UseAsync<MoveLots, Outcome<MovedLots>>(u => u.RunAsync(room.Volunteer, bin.Code, [lot.Code], Cancellation)), Cancellation);
            await LockWait.ForAsync(room, db);
            Assert.False(move.IsCompleted);
            await db.Database.ExecuteSqlAsync($"update bin set closed_at = now() where id = {bin.Id}", Cancellation);
            await closing.CommitAsync(Cancellation);

            Assert.Equal($"Bin {bin.Display} is closed. Choose another.", (await move).Refusal.ToString());
        }

        Assert.NotEqual(bin.Code, (await room.ReadAsync(lot.Code)).BinCode);
    }
}
