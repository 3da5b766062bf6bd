using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Hosting;
using Npgsql;
using Xunit;

namespace GuildStash.Web.Tests.Faults;

/// <summary>A database that is slow, away, or breaks off just as something is saved: a sentence for the person, nothing lost, nothing twice.</summary>
public sealed class DatabaseTroubleTests(PostgresFixture postgres)
{
    private static readonly GiftInput Gift = new() { Bags = [new BagInput(500, 0, [])] };

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Slow_WhenEachMessageTakesAFifthOfASecond_WorkIsDoneAllTheSame()
    {
        await using RoadRoom room = await RoadRoom.OpenAsync(postgres);
        room.Road.Delay = TimeSpan.FromMilliseconds(200);
        LotView lot = await room.Desk.LotAsync(100);
        PlacedHold hold = await room.Desk.HoldAsync(lot, 30);
        HandedOver taken = await room.Desk.HandOverAsync(new HandOverInput(hold.Id));
        Assert.Equal(30_000, taken.Mg);
        room.Road.Delay = TimeSpan.Zero;
        Assert.Equal(70_000, (await room.Desk.LookAsync(lot)).OnHandMg);
    }

    [Fact]
    public async Task Away_WhenItStaysAway_IsSaidAndNothingIsSaved()
    {
        await using RoadRoom room = await RoadRoom.OpenAsync(postgres);
        room.Road.Close();
        Refusal write = Refuse.Only(await room.LogAsync());
        Refusal read = Refuse.Only(await room.Desk.Guild.UseAsync<InventoryReader, Outcome<LotView>>(u => u.LotAsync(room.Desk.Volunteer, "222222", Cancellation)));
        Assert.Equal((DatabaseTrouble.Silent, RefusalKind.Unavailable), (write.Rule, write.Kind));
        Assert.Equal(DatabaseTrouble.Silent, read.Rule);
        room.Road.Open();
        Assert.True((await room.LogAsync()).IsOk);
        Assert.Equal(1, await room.GiftsAsync());
    }

    /// <remarks>A job that ended took the program with it: a server killed in the second in which the guild's settings were read.</remarks>
    [Fact]
    public async Task Away_WhenJobsMeetIt_NoneOfThemEnds()
    {
        await using RoadRoom room = await RoadRoom.OpenAsync(postgres);
        BackgroundService[] jobs = await room.Desk.Guild.UseAsync<IEnumerable<IHostedService>, BackgroundService[]>(all => Task.FromResult(all.OfType<BackgroundService>().ToArray()));
        Assert.True(jobs.Length >= 7, $"{jobs.Length} jobs");
        room.Road.Close();
        foreach (BackgroundService job in jobs)
        {
            await job.StartAsync(Cancellation);
        }

        // One refused attempt for each that works at once, the others' turns come by the clock.
        await room.Road.RefusedAsync(5);
        Assert.All(jobs, job => Assert.False(job.ExecuteTask!.IsFaulted, $"{job.GetType().Name} ended: {job.ExecuteTask.Exception}"));
        room.Road.Open();
        foreach (BackgroundService job in jobs)
        {
            await job.StopAsync(Cancellation);
        }
    }

    [Fact]
    public async Task Away_WhenItComesBackSoon_NobodyNotices()
    {
        await using RoadRoom room = await RoadRoom.OpenAsync(postgres);
        Assert.True((await room.LogAsync()).IsOk);
        room.Road.Close();
        Task<Outcome<LoggedGift>> waiting = room.LogAsync();
        await Task.WhenAny(waiting, Task.Run(() => room.Road.RefusedAsync(3), Cancellation));
        Assert.False(waiting.IsCompleted);
        room.Road.Open();
        Assert.True((await waiting).IsOk);
        Assert.Equal(2, await room.GiftsAsync());
    }

    [Theory]
    [InlineData(CommitFate.AnswerIsLost)]
    [InlineData(CommitFate.IsLost)]
    public async Task Commit_WhenTheConnectionBreaksInIt_IsDoneOnceAndSaidSo(CommitFate fate)
    {
        await using RoadRoom room = await RoadRoom.OpenAsync(postgres);
        room.Road.NextCommit = fate;
        Outcome<LoggedGift> logged = await room.LogAsync();
        Assert.Equal(CommitFate.Passes, room.Road.NextCommit);
        Assert.True(logged.IsOk, string.Join(" ", logged.Refusals));
        Assert.Equal(1, await room.GiftsAsync());
        await using GuildDbContext db = room.Desk.Guild.Look();
        Assert.Equal(logged.Value.Id, await db.Donations.Select(d => d.Id).SingleAsync(Cancellation));
    }

    [Fact]
    public async Task Commit_WhenNobodyCanBeAskedAfterwards_IsCalledUnsure()
    {
        await using RoadRoom room = await RoadRoom.OpenAsync(postgres);
        room.Road.ClosesWithTheCommit = true;
        room.Road.NextCommit = CommitFate.AnswerIsLost;
        Outcome<LoggedGift> said = await room.LogAsync();
        Assert.Equal(CommitFate.Passes, room.Road.NextCommit);
        Assert.Equal(DatabaseTrouble.Unsure, Refuse.Only(said).Rule);
        Assert.Equal(1, await room.GiftsAsync());
    }

    [Fact]
    public async Task Api_WhenTheDatabaseIsAway_Answers503InWordsAndTakesTheSameKeyLater()
    {
        DatabaseRoad? road = null;
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres, connection => (road = new DatabaseRoad(connection)).ConnectionString);
        object gift = new { kind = "donation", grossGrams = 500, tareGrams = 50 };
        using JsonContent body = JsonContent.Create(gift);
        string json = await body.ReadAsStringAsync(Cancellation);
        road!.Close();
        using (HttpResponseMessage away = await ApiRoom.SendAsync(room.Volunteer, "/api/v1/donations", json, "once"))
        {
            JsonElement problem = await ApiRoom.ProblemAsync(away, HttpStatusCode.ServiceUnavailable);
            Assert.Equal(DatabaseTrouble.Silent, problem.GetProperty("rule").GetString());
        }

        road.Open();
        road.NextCommit = CommitFate.AnswerIsLost;
        using HttpResponseMessage first = await ApiRoom.SendAsync(room.Volunteer, "/api/v1/donations", json, "once");
        using HttpResponseMessage again = await ApiRoom.SendAsync(room.Volunteer, "/api/v1/donations", json, "once");
        Assert.Equal((HttpStatusCode.Created, HttpStatusCode.Created), (first.StatusCode, again.StatusCode));
        await using GuildDbContext db = room.Guild.Look();
        Assert.Equal(1, await db.Donations.CountAsync(Cancellation));
        await room.DisposeAsync();
        await road.DisposeAsync();
    }

    [Fact]
    public async Task Clock_WhenTheServersIsSetBackAnHour_WorkGoesOnAndTheBooksStayClean()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        PlacedHold hold = await room.HoldAsync(lot, 60);
        DateTimeOffset before = (await room.HoldRowAsync(hold.Id)).CreatedAt;
        await SetBackAsync(room.Guild);

        PlacedHold second = await room.HoldAsync(lot, 40);
        Assert.InRange(((await room.HoldRowAsync(second.Id)).CreatedAt - before).TotalMinutes, -60, -55);
        Refuse.Rule("not-enough-free", await room.TryHoldAsync(room.Member, new HoldInput([new WantedYarn(lot.Code, 1, null)])));
        await room.RunOutAsync(hold.Id);
        await room.HandOverAsync(new HandOverInput(second.Id));
        Assert.True((await room.TryHoldAsync(room.OtherMember, new HoldInput([new WantedYarn(lot.Code, 60, null)]))).IsOk);
        await using GuildDbContext db = room.Guild.Look();
        Assert.Empty((await BookAudit.RunAsync(db, Cancellation)).SelectMany(line => line.Faults));
    }

    /// <summary>A test can't set the machine's clock, but it can put another now() before the server's own in this one database.</summary>
    private static async Task SetBackAsync(GuildRoom room)
    {
        await using NpgsqlConnection owner = new(room.OwnerConnectionString);
        await owner.OpenAsync(Cancellation);
        await using NpgsqlCommand command = new(
            $"""
            create schema set_back;
            create function set_back.now() returns timestamptz language sql stable as $$ select pg_catalog.now() - interval '1 hour' $$;
            grant usage on schema set_back to public;
            alter database {owner.Database} set search_path = set_back, pg_catalog, public;
            """, owner);
        await command.ExecuteNonQueryAsync(Cancellation);
        foreach (string connection in new[] { room.AppConnectionString, room.OwnerConnectionString })
        {
            await using NpgsqlConnection pooled = new(GuildDatabase.ForShortQuestions(connection));
            NpgsqlConnection.ClearPool(pooled);
        }
    }

    /// <summary>A desk whose application reaches its database over a road that can be broken.</summary>
    private sealed class RoadRoom(DeskRoom desk, DatabaseRoad road) : IAsyncDisposable
    {
        public DeskRoom Desk => desk;

        public DatabaseRoad Road => road;

        public static async Task<RoadRoom> OpenAsync(PostgresFixture postgres)
        {
            DatabaseRoad? road = null;
            DeskRoom desk = await DeskRoom.OpenAsync(postgres, connection => (road = new DatabaseRoad(connection)).ConnectionString);
            return new RoadRoom(desk, road!);
        }

        public Task<Outcome<LoggedGift>> LogAsync() =>
            desk.Guild.UseAsync<LogGift, Outcome<LoggedGift>>(u => u.RunAsync(desk.Volunteer, Gift, Cancellation));

        /// <summary>Counted past the road.</summary>
        public Task<int> GiftsAsync() => desk.AskAsync(db => db.Donations.CountAsync(Cancellation));

        public async ValueTask DisposeAsync()
        {
            road.Open();
            await desk.DisposeAsync();
            await road.DisposeAsync();
        }
    }
}
