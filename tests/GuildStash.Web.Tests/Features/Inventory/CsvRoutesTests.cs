using System.Globalization;
using System.Net;
using System.Text;
using CsvHelper;
using GuildStash.Data;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Inventory;

/// <summary>The files as a browser gets them, read back as a spreadsheet would.</summary>
public sealed class CsvRoutesTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Lots_WhenSavedInYards_SayWhatTheirPagesSay()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        HttpClient member = await YardsAsync(room, room.Guild.Member);
        BinView bin = await room.Guild.BinAsync("Blues, \"old\" and new");
        LotView lot = await room.Guild.LotAsync(await room.Guild.BagAsync(), 150.5m, null, l => l with
        {
            Band = new BandInput(200, 50),
            ColourHex = "#4f6d8f",
            Fibres = [new FibreInput("WO", 75), new FibreInput("PA", 25)],
            FibreBasis = FibreBasis.BandSeen,
            MachineWashable = Tristate.Yes,
            DyeLot = "A7",
            Notes = "two lines,\r\nwith \"quotes\"; and é",
            BinCode = bin.Code,
        });
        await room.Guild.HoldAsync(lot.Code, 50);
        lot = await room.Guild.ReadAsync(lot.Code);

        (byte[] bytes, string name, string type) = await GetAsync(member, "/csv/lots.csv");
        Dictionary<string, string> row = Assert.Single(Records(bytes));

        Assert.Equal("text/csv", type);
        Assert.Equal($"lots-{Today()}.csv", name);
        Assert.Equal((lot.Display, "free", "Fingering", "Blue", "150.5", "100.5", "50"), (row["Lot"], row["State"], row["Weight class"], row["Colour family"], row["Grams"], row["Free, grams"], row["Reserved, grams"]));
        AssertSafe(lot.MetresLow!.Value / 0.9144, row["At least, yards"], 0, 0.1);
        AssertSafe(lot.MetresLikely!.Value / 0.9144, row["Probably, yards"], -0.05, 0.05);
        AssertSafe(lot.MetresHigh!.Value / 0.9144, row["At most, yards"], -0.1, 0);
        AssertSafe(lot.FreeMetresLow!.Value / 0.9144, row["Free, at least, yards"], 0, 0.1);
        Assert.Equal("Fingering, from the band: 219 yd to 50 g.", row["What the length rests on"]);
        Assert.Equal(("75 % wool, 25 % polyamide", "yes", "A7", bin.Display, bin.Name), (row["Fibre"], row["Machine washable"], row["Dye lot"], row["Bin code"], row["Bin"]));
        Assert.DoesNotContain(Spaces.NoBreak, Text(bytes));
        Assert.Equal("two lines,\r\nwith \"quotes\"; and é", row["Notes"]);
        Assert.Equal((lot.DonationNumber, "1", Today()), (row["Gift"], row["Bag"], row["Sorted on"]));
    }

    [Fact]
    public async Task Files_FollowRfc4180AndNameTheirUnits()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        await ChooseAsync(room, room.Guild.Member, LengthUnit.Metres);
        HttpClient metres = await room.BrowserOfAsync(room.Guild.Member);
        await room.Guild.LotAsync(await room.Guild.BagAsync(), more: l => l with { Notes = "a \"b\"" });

        foreach (string path in new[] { "/csv/lots.csv", "/csv/inventory.csv" })
        {
            (byte[] bytes, _, _) = await GetAsync(metres, path);
            string text = Encoding.UTF8.GetString(bytes);

            Assert.Equal(Encoding.UTF8.GetPreamble(), bytes[..3]);
            Assert.EndsWith("\r\n", text, StringComparison.Ordinal);
            Assert.DoesNotContain("\n", text.Replace("\r\n", "", StringComparison.Ordinal), StringComparison.Ordinal);
            Assert.Contains("\"At least, metres\",\"Probably, metres\",\"At most, metres\"", text, StringComparison.Ordinal);
            Assert.DoesNotContain("yard", text, StringComparison.Ordinal);
        }

        Assert.Contains("\"a \"\"b\"\"\"", Encoding.UTF8.GetString((await GetAsync(metres, "/csv/lots.csv")).Bytes), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("=HYPERLINK(\"https://example.org\")")]
    [InlineData("+1+1")]
    [InlineData("-1+1")]
    [InlineData("@SUM(A1)")]
    public async Task InvalidFormulas_WhenTypedIntoALot_ArriveAsText(string typed)
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        HttpClient member = await room.BrowserOfAsync(room.Guild.Member);
        BinView bin = await room.Guild.BinAsync(typed);
        await room.Guild.LotAsync(await room.Guild.BagAsync(), more: l => l with { Notes = typed, DyeLot = typed, CareNotes = typed, BinCode = bin.Code });

        Dictionary<string, string> row = Assert.Single(Records((await GetAsync(member, "/csv/lots.csv")).Bytes));

        Assert.All(["Notes", "Dye lot", "Care", "Bin"], column => Assert.Equal("'" + typed, row[column]));
        Assert.Equal("100", row["Grams"]);
    }

    [Theory]
    [InlineData("\t=1+1")]
    [InlineData("\r=1+1")]
    public async Task InvalidFormulas_WhenTheyHideBehindABlank_ArriveAsText(string stored)
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        HttpClient member = await room.BrowserOfAsync(room.Guild.Member);
        await room.Guild.LotAsync(await room.Guild.BagAsync());
        await using (GuildDbContext db = room.Guild.Look())
        {
            await db.Lots.ExecuteUpdateAsync(l => l.SetProperty(x => x.Notes, stored), Cancellation);
        }

        Assert.Equal("'" + stored, Assert.Single(Records((await GetAsync(member, "/csv/lots.csv")).Bytes))["Notes"]);
    }

    [Fact]
    public async Task Summary_WhenFiltersAreSet_HasTheCellsOfTheTable()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        HttpClient member = await YardsAsync(room, room.Guild.Member);
        Guid bag = await room.Guild.BagAsync();
        await room.Guild.LotAsync(bag, 100, WeightClass.Dk, l => l with { ColourHex = "#4f6d8f" });
        await room.Guild.LotAsync(bag, 50, WeightClass.Dk, l => l with { ColourHex = "#4f6d8f" });
        await room.Guild.LotAsync(bag, 30, null);
        await room.Guild.LotAsync(bag, 20, WeightClass.Lace);
        LotView apart = await room.Guild.LotAsync(await room.Guild.BagAsync(1000, "damp"), 60, WeightClass.Lace);
        IReadOnlyList<SummaryRow> cells = await room.Guild.DoAsync<InventoryReader, IReadOnlyList<SummaryRow>>(u => u.SummaryAsync(room.Guild.Member, new LotFilter(), StockPart.Free, Cancellation));

        (byte[] bytes, string name, _) = await GetAsync(member, "/csv/inventory.csv?view=table&unit=grams");
        List<Dictionary<string, string>> rows = Records(bytes);

        Assert.Equal($"inventory-free-{Today()}.csv", name);
        Assert.Equal(["Lace|Not noted|1|20", "DK|Blue|2|150", "Not known|Not noted|1|30"], rows.Select(r => $"{r["Weight class"]}|{r["Colour"]}|{r["Lots"]}|{r["Grams"]}"));
        AssertSafe(cells.Single(c => c.WeightClass == WeightClass.Dk).MetresLow / 0.9144, rows[1]["At least, yards"], 0, 0.1);
        Assert.Equal("", rows[2]["At most, yards"]);
        Assert.Equal("2", Assert.Single(Records((await GetAsync(member, "/csv/inventory.csv?colour=blue&class=dk")).Bytes))["Lots"]);

        (bytes, name, _) = await GetAsync(member, "/csv/inventory.csv?status=quarantined");
        Assert.Equal($"inventory-quarantine-{Today()}.csv", name);
        Assert.Equal(("Lace", "60"), (Assert.Single(Records(bytes))["Weight class"], Records(bytes)[0]["Grams"]));
        Dictionary<string, string> kept = Assert.Single(Records((await GetAsync(member, $"/csv/lots.csv?q={apart.Code}")).Bytes));
        Assert.Equal(("in quarantine", "60", "0"), (kept["State"], kept["In quarantine, grams"], kept["Free, grams"]));
    }

    [Fact]
    public async Task Files_WhenNothingFits_HaveTheirHeads()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        HttpClient member = await room.BrowserOfAsync(room.Guild.Member);

        Assert.StartsWith("Lot,State,", Text((await GetAsync(member, "/csv/lots.csv?class=dk")).Bytes), StringComparison.Ordinal);
        Assert.StartsWith("Weight class,Colour,Lots,", Text((await GetAsync(member, "/csv/inventory.csv")).Bytes), StringComparison.Ordinal);
    }

    [Fact]
    public async Task InvalidFiles_WhenRefused_SayWhyInASentence()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        HttpClient member = await room.BrowserOfAsync(room.Guild.Member);
        HttpClient other = await room.BrowserOfAsync(room.Guild.OtherMember);
        await using (GuildDbContext db = room.Guild.Look())
        {
            await db.Database.ExecuteSqlAsync($"update person set disabled_at = now() where id = {room.Guild.OtherMember}", Cancellation);
        }

        foreach (string path in new[] { "/csv/lots.csv", "/csv/inventory.csv" })
        {
            using HttpResponseMessage nobody = await room.Nobody.GetAsync(path, Cancellation);
            Assert.Equal(HttpStatusCode.Redirect, nobody.StatusCode);
            using HttpResponseMessage disabled = await other.GetAsync(path, Cancellation);
            Assert.NotEqual(HttpStatusCode.OK, disabled.StatusCode);
            Assert.NotEqual("text/csv", disabled.Content.Headers.ContentType?.MediaType);
            using HttpResponseMessage wrong = await member.GetAsync($"{path}?bin=K7M-T", Cancellation);
            Assert.False(wrong.IsSuccessStatusCode);
            Assert.Equal("text/plain", wrong.Content.Headers.ContentType?.MediaType);
            Assert.Contains("check character", await wrong.Content.ReadAsStringAsync(Cancellation), StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task ExtremeLots_WhenThereAreTenThousand_ComeAsTheDatabaseSendsThem()
    {
        const int Many = 10_000;
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        LotView first = await room.Guild.LotAsync(await room.Guild.BagAsync());
        await LotCopies.OfAsync(room.Guild, first, Many - 1);
        using SqlCount sql = new();
        string state = "";

        Outcome<int> counted = await room.Guild.UseAsync<InventoryReader, Outcome<int>>(u => u.EachLotAsync(room.Guild.Member, new LotFilter(), LotOrder.Newest, async _ =>
        {
            state = state.Length > 0 ? state : await StateOfReaderAsync(room.Guild);
        }, Cancellation));

        // At the first lot the database is still sending; had the list been read first, its connection would be idle or given back.
        Assert.Equal("active", state);
        Assert.Equal(Many, counted.Value);
        Assert.Equal(2, sql.Commands.Count(command => !command.Contains("pg_stat_activity", StringComparison.Ordinal)));

        HttpClient member = await room.BrowserOfAsync(room.Guild.Member);
        using HttpResponseMessage answer = await member.GetAsync("/csv/lots.csv?order=Oldest", HttpCompletionOption.ResponseHeadersRead, Cancellation);
        Assert.True(answer.Headers.TransferEncodingChunked);
        List<Dictionary<string, string>> rows = Records(await answer.Content.ReadAsByteArrayAsync(Cancellation));
        Assert.Equal(Many, rows.Select(row => row["Lot"]).Distinct().Count());
    }

    /// <summary>What the connection that reads the lots is doing. The server shows the first 1,024 bytes of a query only.</summary>
    private static async Task<string> StateOfReaderAsync(GuildRoom room)
    {
        await using GuildDbContext db = GuildDatabase.Open(room.AppConnectionString);
        return await db.Database.SqlQuery<string>(
            $"select state as \"Value\" from pg_stat_activity where datname = current_database() and pid <> pg_backend_pid() and query like 'SELECT l.%' order by query_start desc limit 1").SingleOrDefaultAsync(Cancellation) ?? "no more";
    }

    private static async Task<HttpClient> YardsAsync(ApiRoom room, Guid person)
    {
        await ChooseAsync(room, person, LengthUnit.Yards);
        return await room.BrowserOfAsync(person);
    }

    private static async Task ChooseAsync(ApiRoom room, Guid person, LengthUnit unit)
    {
        await using GuildDbContext db = room.Guild.Look();
        await db.People.Where(p => p.Id == person).ExecuteUpdateAsync(p => p.SetProperty(x => x.LengthUnit, unit), Cancellation);
    }

    private static async Task<(byte[] Bytes, string Name, string Type)> GetAsync(HttpClient client, string path)
    {
        using HttpResponseMessage answer = await client.GetAsync(path, Cancellation);
        byte[] bytes = await answer.Content.ReadAsByteArrayAsync(Cancellation);
        Assert.True(answer.StatusCode == HttpStatusCode.OK, $"{path}: {(int)answer.StatusCode} {Encoding.UTF8.GetString(bytes)}");
        return (bytes, answer.Content.Headers.ContentDisposition!.FileName!.Trim('"'), answer.Content.Headers.ContentType!.MediaType!);
    }

    /// <summary>Reads a file back: each record by its heads.</summary>
    private static List<Dictionary<string, string>> Records(byte[] bytes)
    {
        List<string[]> records = [];
        using CsvReader reader = CsvReader.Create(bytes, new CsvReaderOptions { HasHeader = false });
        while (reader.Read())
        {
            records.Add([.. Enumerable.Range(0, reader.FieldCount).Select(reader.GetString)]);
        }

        return [.. records.Skip(1).Select(record => records[0].Zip(record).ToDictionary(pair => pair.First, pair => pair.Second))];
    }

    private static string Text(byte[] bytes) => Encoding.UTF8.GetString(bytes.AsSpan(Encoding.UTF8.GetPreamble().Length));

    private static void AssertSafe(double exact, string written, double least, double most)
    {
        double value = double.Parse(written, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture);
        Assert.InRange(exact - value, least - 1e-6, most + 1e-6);
    }

    /// <summary>The day in the guild's zone, Europe/London.</summary>
    private static string Today() =>
        TimeZoneInfo.ConvertTime(DateTimeOffset.UtcNow, TimeZoneInfo.FindSystemTimeZoneById("Europe/London")).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
