using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Support;
using Npgsql;
using Xunit;

namespace GuildStash.Web.Tests.Features.Ledger;

/// <summary>What the database itself refuses, whoever asks and in whatever way.</summary>
public sealed class BooksTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static async Task<LotView> LotAsync(GuildRoom room)
    {
        LoggedGift gift = await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(500, 0, [])] }, Cancellation));
        return await room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, gift.Bags[0].Id, new LotInput { Grams = 100, WeightClass = WeightClass.Dk }, Cancellation));
    }

    private static async Task<PostgresException> RefusedAsync(string connectionString, string sql)
    {
        await using NpgsqlConnection connection = new(connectionString);
        await connection.OpenAsync(Cancellation);
        await using NpgsqlCommand command = new(sql, connection);
        return await Assert.ThrowsAsync<PostgresException>(() => command.ExecuteNonQueryAsync(Cancellation));
    }

    [Theory]
    [InlineData("update movement set mg = mg + 1")]
    [InlineData("delete from movement")]
    [InlineData("truncate movement cascade")]
    public async Task Movement_WhenWritten_IsFinalForTheOwnerAndForTheApplication(string sql)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await LotAsync(room);
        Assert.Equal(PostgresErrorCodes.RestrictViolation, (await RefusedAsync(room.OwnerConnectionString, sql)).SqlState);
        Assert.Equal(PostgresErrorCodes.InsufficientPrivilege, (await RefusedAsync(room.AppConnectionString, sql)).SqlState);
    }

    [Theory]
    [InlineData("insert into movement (id, from_kind, from_id, to_kind, to_id, mg, reason, note, lot_id, bag_id, at, by_id) select gen_random_uuid(), 'Bin', bin_id, 'Waste', null, 100001, 'WrittenOff', '', id, bag_id, now(), created_by_id from lot", "lot_held_within_free")]
    [InlineData("insert into hold (id, request_id, lot_id, mg, state, expires_at, created_at) select gen_random_uuid(), r.id, l.id, 100001, 'Active', now() + interval '1 day', now() from lot l, hold_request r", "lot_held_within_free")]
    [InlineData("update lot set closed_at = now()", "lot_closed_is_empty")]
    public async Task Balance_WhenMoreThanThereIsIsTaken_IsRefusedByTheDatabase(string sql, string constraint)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await LotAsync(room);
        await using (GuildDbContext db = room.Look())
        {
            db.HoldRequests.Add(new HoldRequest { Number = "R-2026-9999", MemberId = room.Member, CreatedAt = DateTimeOffset.UtcNow, CreatedById = room.Member });
            await db.SaveChangesAsync(Cancellation);
        }

        PostgresException refusal = await RefusedAsync(room.AppConnectionString, sql);
        Assert.Equal((PostgresErrorCodes.CheckViolation, constraint), (refusal.SqlState, refusal.ConstraintName));
    }

    [Fact]
    public async Task Audit_WhenABalanceWasTamperedWith_NamesTheLot()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LotView lot = await LotAsync(room);
        await using GuildDbContext db = room.Look();
        Assert.All(await BookAudit.RunAsync(db, Cancellation), line => Assert.Empty(line.Faults));
        await using (NpgsqlConnection connection = new(room.OwnerConnectionString))
        {
            await connection.OpenAsync(Cancellation);
            await using NpgsqlCommand command = new("update lot set on_hand_mg = on_hand_mg + 1", connection);
            Assert.Equal(1, await command.ExecuteNonQueryAsync(Cancellation));
        }

        IReadOnlyList<AuditLine> lines = await BookAudit.RunAsync(db, Cancellation);
        Assert.Contains(lines, line => line.Faults.Any(fault => fault.ToString().Contains(lot.Code, StringComparison.Ordinal)));
    }

    [Fact]
    public async Task Number_WhenAGiftIsRefused_LeavesNoGap()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await LotAsync(room);
        var refused = await room.UseAsync<LogGift, Domain.Rules.Outcome<LoggedGift>>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(-5, 0, ["glitter"])] }, Cancellation));
        Assert.Equal(["bags[0].grossGrams", "bags[0].conditions"], refused.Refusals.Select(r => r.Field));
        LoggedGift next = await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(5, 0, [])] }, Cancellation));
        Assert.EndsWith("-0002", next.Number, StringComparison.Ordinal);
    }
}
