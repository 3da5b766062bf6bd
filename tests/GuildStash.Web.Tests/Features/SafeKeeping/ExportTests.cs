using System.IO.Compression;
using System.Net;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using GuildStash.Data;
using GuildStash.Data.SafeKeeping;
using GuildStash.TestSupport;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata;
using Xunit;

namespace GuildStash.Web.Tests.Features.SafeKeeping;

public sealed class ExportTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public void Tables_AreAllDescribedOrLeftOutOnPurpose()
    {
        using GuildDbContext db = GuildDatabase.Open("Host=localhost;Database=nowhere");
        List<string> missing = [];
        foreach (IEntityType type in db.Model.GetEntityTypes().Where(t => !ExportTable.TablesLeftOut.Contains(t.GetTableName()!)))
        {
            ExportTable? table = ExportTable.All.SingleOrDefault(t => t.Name == type.GetTableName());
            missing.AddRange(type.GetProperties().Select(p => p.GetColumnName())
                .Where(c => table is null || (!table.LeftOut.Contains(c) && !table.Columns.Any(d => d.Name == c)))
                .Select(c => $"{type.GetTableName()}.{c}"));
        }

        Assert.True(missing.Count == 0, "Say in export-tables.txt what these mean, or that they are left out: " + string.Join(", ", missing));
        Assert.All(ExportTable.All.SelectMany(t => t.Columns), c => Assert.False(string.IsNullOrWhiteSpace(c.Meaning)));
        Assert.All(ExportTable.All.SelectMany(t => t.Columns).Where(c => c.Name.EndsWith("_mg", StringComparison.Ordinal) || c.Name == "mg"), c => Assert.Equal("mg", c.Unit));
    }

    [Fact]
    public async Task Export_WhenReadBack_HasEveryRowAndNoSecret()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        await OpenExport.WriteFileAsync(room.Guild.AppConnectionString, room.PathOf("export.zip"), Cancellation);
        Dictionary<string, string> files = Entries(room.PathOf("export.zip"));

        await using GuildDbContext db = room.Guild.Look();
        Assert.Equal(await db.Movements.CountAsync(Cancellation), Rows(files, "movement").Count);
        Assert.Equal(await db.People.Select(p => p.Email).OrderBy(e => e).ToListAsync(Cancellation), Rows(files, "person").Select(r => r.GetProperty("email").GetString()).Order());
        Assert.Equal(await db.Lots.SumAsync(l => l.OnHandMg, Cancellation), Rows(files, "lot").Sum(r => r.GetProperty("on_hand_mg").GetInt64()));

        string all = string.Join('\n', files.Values);
        List<string> secrets = [room.Token, Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(room.Token)))];
        foreach (var person in await db.People.Select(p => new { p.PasswordHash, p.SecurityStamp }).ToListAsync(Cancellation))
        {
            secrets.AddRange([person.PasswordHash!, person.SecurityStamp!]);
        }

        secrets.AddRange((await db.ApiTokens.Select(t => t.SecretHash).ToListAsync(Cancellation)).Select(Convert.ToHexStringLower));
        Assert.True(secrets.Count >= 13, $"Only {secrets.Count} secrets were looked for.");
        Assert.All(secrets, secret => Assert.DoesNotContain(secret, all, StringComparison.OrdinalIgnoreCase));
        Assert.Contains("mg", files["README.txt"], StringComparison.Ordinal);
        Assert.Equal(ExportTable.All.Count, JsonDocument.Parse(files["tables.json"]).RootElement.GetProperty("tables").GetArrayLength());
    }

    [Fact]
    public async Task Export_WhenATextLooksLikeAFormula_TheSpreadsheetReadsAText()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        await OpenExport.WriteFileAsync(room.Guild.AppConnectionString, room.PathOf("export.zip"), Cancellation);
        Dictionary<string, string> files = Entries(room.PathOf("export.zip"));

        const string typed = "=1+1 \"quoted\" \\ back\nnext line";
        Assert.Contains(Rows(files, "lot"), row => row.GetProperty("notes").GetString() == typed);
        Assert.Contains("\"'=1+1 \"\"quoted\"\" \\ back\nnext line\"", files["csv/lot.csv"], StringComparison.Ordinal);
        Assert.DoesNotContain(",=1+1", files["csv/lot.csv"], StringComparison.Ordinal);
        Assert.StartsWith("id,code,bag_id", files["csv/lot.csv"], StringComparison.Ordinal);
    }

    [Fact]
    public async Task Export_WhenFetchedFromThePage_IsForAdministratorsAlone()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor administrator = await room.SignInAsync("admin@example.org");
        using HttpResponseMessage mine = await administrator.GetAsync("/safe-keeping/export.zip");
        Assert.Equal((HttpStatusCode.OK, "application/zip"), (mine.StatusCode, mine.Content.Headers.ContentType?.MediaType));
        using ZipArchive zip = new(await mine.Content.ReadAsStreamAsync(Cancellation));
        Assert.NotNull(zip.GetEntry("json/person.jsonl"));

        using Visitor coordinator = await room.SignInAsync("coordinator@example.org");
        using HttpResponseMessage theirs = await coordinator.GetAsync("/safe-keeping/export.zip");
        Assert.NotEqual(HttpStatusCode.OK, theirs.StatusCode);
        using Visitor nobody = room.Visit();
        using HttpResponseMessage none = await nobody.GetAsync("/safe-keeping/export.zip");
        Assert.NotEqual(HttpStatusCode.OK, none.StatusCode);
    }

    private static List<JsonElement> Rows(Dictionary<string, string> files, string table) =>
        [.. files[$"json/{table}.jsonl"].Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => JsonDocument.Parse(line).RootElement)];

    private static Dictionary<string, string> Entries(string file)
    {
        using ZipArchive zip = ZipFile.OpenRead(file);
        return zip.Entries.ToDictionary(e => e.FullName, e =>
        {
            using StreamReader reader = new(e.Open());
            return reader.ReadToEnd();
        });
    }
}
