using System.Collections.Concurrent;
using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Npgsql;
using Xunit;

namespace GuildStash.Web.Tests.Faults;

/// <summary>Two hundred people at once: nobody gets what another was promised, nobody hears of a deadlock, and the books are clean afterwards.</summary>
[Collection(OneAtATime.Name)]
public sealed class CrowdTests(PostgresFixture postgres)
{
    private const int Clients = 200;

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public Task OneLot_WhenTwoHundredWorkOnIt_GrantsNoMoreThanItHas() => CrowdAsync(lots: 1, gramsEach: 2_000);

    [Fact]
    public Task FiftyLots_WhenTwoHundredTakeRandomPairs_NobodyHearsOfADeadlock() => CrowdAsync(lots: 50, gramsEach: 500);

    private async Task CrowdAsync(int lots, int gramsEach)
    {
        TimeSpan length = TestLength.Seconds(1, 30);
        int seed = TestLength.Seed();
        // The crowd needs most of the server's connections, and those that other tests left idle are in its way.
        NpgsqlConnection.ClearAllPools();
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        string[] codes = await LotsAsync(room, lots, gramsEach);
        string bin;
        await using (GuildDbContext db = room.Guild.Look())
        {
            bin = await db.Lots.Select(l => l.Bin.Code).FirstAsync(Cancellation);
        }

        Crowd crowd = new(room, codes, bin);
        Stopwatch watch = Stopwatch.StartNew();
        await Task.WhenAll(Enumerable.Range(0, Clients).Select(i => Task.Run(() => crowd.WorkAsync(new Random(unchecked((seed * 397) ^ i)), () => watch.Elapsed < length))));
        TestContext.Current.TestOutputHelper!.WriteLine(
            $"seed {seed}: {Clients} clients on {lots} lots for {length.TotalSeconds.ToString("0", CultureInfo.InvariantCulture)} s: {crowd}");

        Assert.Empty(crowd.Faults.Take(3));
        await crowd.AssertBooksAsync(gramsEach);
    }

    private static async Task<string[]> LotsAsync(ApiRoom room, int lots, int gramsEach)
    {
        Guid gift = await room.GiveAsync(90_000);
        List<string> codes = [];
        for (int i = 0; i < lots; i++)
        {
            codes.Add(LotCode.Parse(await room.SortAsync(gift, new { grams = gramsEach, weightClass = "dk" })).Value.Value);
        }

        return [.. codes];
    }

    /// <summary>What all of them asked for and were answered.</summary>
    private sealed class Crowd(ApiRoom room, string[] codes, string bin)
    {
        private readonly ConcurrentDictionary<string, int> _answers = new();
        private readonly ConcurrentDictionary<string, long> _atHome = new();
        private readonly ConcurrentDictionary<string, long> _held = new();

        public ConcurrentQueue<string> Faults { get; } = new();

        public override string ToString() => string.Join(", ", _answers.OrderBy(a => a.Key, StringComparer.Ordinal).Select(a => $"{a.Key} {a.Value}"));

        public async Task WorkAsync(Random random, Func<bool> goesOn)
        {
            while (goesOn())
            {
                string lot = codes[random.Next(codes.Length)];
                await (random.Next(8) switch
                {
                    <= 2 => PromiseAsync(random, lot),
                    <= 4 => TakeAsync(random, lot),
                    5 or 6 => PairAsync(random),
                    _ => CountAsync(lot),
                });
            }
        }

        public async Task AssertBooksAsync(int gramsEach)
        {
            await using GuildDbContext db = room.Guild.Look();
            Assert.Empty((await BookAudit.RunAsync(db, Cancellation)).SelectMany(line => line.Faults));
            foreach (Lot lot in await db.Lots.AsNoTracking().ToListAsync(Cancellation))
            {
                long home = await db.Checkouts.Where(c => c.LotId == lot.Id).SumAsync(c => c.AtHomeMg, Cancellation);
                Assert.Equal(_atHome.GetValueOrDefault(lot.Code), home);
                Assert.Equal(_held.GetValueOrDefault(lot.Code), lot.HeldMg);

                // A count that found what was not there any more books the difference; everything else adds up to what was given.
                long counted = await NetAsync(db, lot.Id);
                Assert.Equal((gramsEach * 1000L) + counted, lot.OnHandMg + home);
            }
        }

        private static async Task<long> NetAsync(GuildDbContext db, Guid lot)
        {
            PlaceKind[] outside = [PlaceKind.Adjustment, PlaceKind.Lost];
            return await db.Movements.Where(m => m.LotId == lot && outside.Contains(m.FromKind)).SumAsync(m => m.Mg, Cancellation)
                - await db.Movements.Where(m => m.LotId == lot && outside.Contains(m.ToKind)).SumAsync(m => m.Mg, Cancellation);
        }

        /// <summary>Reserves, then lets a volunteer hand it over.</summary>
        private async Task PromiseAsync(Random random, string lot)
        {
            int grams = random.Next(1, 40);
            if (await SendAsync(random.Next(2) == 0 ? room.Member : room.OtherMember, "hold", "/api/v1/holds", new { lotCode = lot, grams }) is not { } hold)
            {
                return;
            }

            _held.AddOrUpdate(lot, grams * 1000L, (_, mg) => mg + (grams * 1000L));
            if (random.Next(2) == 0
                && await SendAsync(room.Volunteer, "checkout of a hold", "/api/v1/checkouts", new { holdId = hold.GetProperty("id").GetString(), grams, wholeLot = false }) is not null)
            {
                _held.AddOrUpdate(lot, 0, (_, mg) => mg - (grams * 1000L));
                _atHome.AddOrUpdate(lot, grams * 1000L, (_, mg) => mg + (grams * 1000L));
            }
        }

        /// <summary>Takes yarn home and brings some of it back.</summary>
        private async Task TakeAsync(Random random, string lot)
        {
            int grams = random.Next(2, 40);
            if (await SendAsync(room.Volunteer, "checkout", "/api/v1/checkouts", new { lotCode = lot, memberEmail = "member@example.org", grams, wholeLot = false }) is not { } taken)
            {
                return;
            }

            _atHome.AddOrUpdate(lot, grams * 1000L, (_, mg) => mg + (grams * 1000L));
            int back = random.Next(1, grams);
            if (await SendAsync(room.Volunteer, "return", $"/api/v1/checkouts/{taken.GetProperty("id").GetString()}/returns", new { grams = back, conditions = Array.Empty<string>() }) is not null)
            {
                _atHome.AddOrUpdate(lot, 0, (_, mg) => mg - (back * 1000L));
            }
        }

        /// <summary>Two lots at once, in any order.</summary>
        private async Task PairAsync(Random random)
        {
            string[] pair = [codes[random.Next(codes.Length)], codes[random.Next(codes.Length)]];
            int grams = random.Next(1, 10);
            HoldInput input = new([.. pair.Select(code => new WantedYarn(code, grams, null))]);
            Outcome<PlacedRequest> placed = await room.Guild.UseAsync<RequestHolds, Outcome<PlacedRequest>>(u => u.RunAsync(room.Guild.Member, input, Cancellation));
            Note("hold of two", placed);
            foreach (PlacedHold hold in placed.IsOk ? placed.Value.Holds : [])
            {
                _held.AddOrUpdate(hold.LotCode, hold.Mg, (_, mg) => mg + hold.Mg);
            }
        }

        /// <summary>Counts the lot as it stood a moment ago, as somebody does who does not see what the others do.</summary>
        private async Task CountAsync(string lot)
        {
            Outcome<LotView> seen = await room.Guild.UseAsync<InventoryReader, Outcome<LotView>>(u => u.LotAsync(room.Guild.Volunteer, lot, Cancellation));
            if (!seen.IsOk)
            {
                Note("look", seen);
                return;
            }

            Outcome<CountedBin> counted = await room.Guild.UseAsync<CountBin, Outcome<CountedBin>>(u => u.RunAsync(room.Guild.Volunteer, bin, [new CountedLot(lot, seen.Value.OnHandMg / 1000m)], Cancellation));
            Note("count", counted);
        }

        private async Task<JsonElement?> SendAsync(HttpClient client, string what, string path, object body)
        {
            using HttpResponseMessage answer = await client.PostAsJsonAsync(path, body, Cancellation);
            string text = await answer.Content.ReadAsStringAsync(Cancellation);
            bool done = answer.StatusCode == HttpStatusCode.Created;
            string rule = done ? "done" : JsonElement.Parse(text).TryGetProperty("rule", out JsonElement named) ? named.GetString()! : $"{(int)answer.StatusCode}";
            Note(what, rule, text);
            return done ? JsonElement.Parse(text) : null;
        }

        private void Note<T>(string what, Outcome<T> outcome) => Note(what, outcome.IsOk ? "done" : outcome.Refusal.Rule, string.Join(" ", outcome.Refusals));

        /// <summary>Whoever comes too late is refused for that; any other answer is a fault of the program.</summary>
        private void Note(string what, string rule, string text)
        {
            _answers.AddOrUpdate($"{what}: {rule}", 1, (_, n) => n + 1);
            if (rule is not ("done" or "not-enough-free" or "lot-closed") && !(what == "count" && rule == "invalid-value"))
            {
                Faults.Enqueue($"{what} {rule} {text}");
            }
        }
    }
}
