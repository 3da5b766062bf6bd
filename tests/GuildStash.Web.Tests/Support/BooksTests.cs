using GuildStash.Data;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Inventory;
using Microsoft.EntityFrameworkCore;
using Xunit;
using Xunit.Sdk;

namespace GuildStash.Web.Tests.Support;

/// <summary>The auditor of the other tests finds what it is there for.</summary>
public sealed class BooksTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Theory]
    [InlineData("update lot set on_hand_mg = on_hand_mg + 1")]
    [InlineData("update lot set quarantined_mg = 1")]
    [InlineData("update lot set held_mg = 1")]
    [InlineData("update lot set bin_id = (select id from bin where id <> lot.bin_id limit 1)")]
    [InlineData("update bag set unsorted_mg = unsorted_mg - 1")]
    [InlineData("update checkout set at_home_mg = at_home_mg - 1")]
    [InlineData("update checkout set taken_mg = taken_mg + 1")]
    [InlineData("update checkout set closed_at = now()")]
    [InlineData("update lot_return set mg = mg + 1")]
    public async Task Audit_WhenABalanceIsNotWhatTheMovementsSay_Fails(string damage)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        HandedOver taken = await room.TakenHomeAsync(lot, 60);
        await room.TryTakeBackAsync(taken.Id, new ReturnInput(10, []));
        await using GuildDbContext db = room.Guild.Look();
        await Books.AssertCleanAsync(db, Cancellation);

        await using var transaction = await db.Database.BeginTransactionAsync(Cancellation);
        await db.Database.ExecuteSqlRawAsync(damage, Cancellation);

        await Assert.ThrowsAnyAsync<XunitException>(() => Books.AssertCleanAsync(db, Cancellation));
        await transaction.RollbackAsync(Cancellation);
    }
}
