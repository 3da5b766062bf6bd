using System.IO.Compression;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using GuildStash.Data;
using GuildStash.Data.SafeKeeping;
using GuildStash.Data.Server;
using GuildStash.TestSupport;
using GuildStash.Web.Infrastructure.Hosting;
using GuildStash.Web.Tests.Support;
using Npgsql;
using Xunit;

namespace GuildStash.Web.Tests.Features.SafeKeeping;

/// <summary>Back-up and restore on real servers.</summary>
public sealed class RestoreTests(PostgresFixture postgres, WrittenBackup written) : IClassFixture<WrittenBackup>
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Roundtrip_WhenPeopleGoOnWorking_IntoAnEmptyFolder_HasTheArchivesFiguresAndCleanBooks()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        using CancellationTokenSource enough = new();
        Task work = WorkAsync(room, enough.Token);
        BackupManifest manifest;
        try
        {
            manifest = await Backup.WriteAsync(room.Guild.OwnerConnectionString, room.PathOf("guild.zip"), null, Cancellation);
        }
        finally
        {
            await enough.CancelAsync();
            await work;
        }

        await using EmbeddedPostgres server = await EmbeddedPostgres.StartAsync(new EmbeddedPostgresOptions { DataDirectory = room.PathOf("data"), Durable = false }, Cancellation);
        Restored restored = await RestoreAsync(room.PathOf("guild.zip"), server.OwnerConnectionString(), server.AppConnectionString());

        Assert.Empty(restored.Differences);
        Assert.All(restored.Audit, line => Assert.Empty(line.Faults));
        Assert.True(restored.IsWhole);
        Assert.Equal("Harbour Yarn Guild", manifest.Guild);
        Assert.True(await CountAsync(room.Guild.OwnerConnectionString, "movement") > manifest.Figures["movements"], "Nobody worked after the snapshot.");
        Assert.Equal(manifest.Figures["movements"], await CountAsync(server.AppConnectionString(), "movement"));

        // The lesser role has its rights again, and still can't change the books.
        PostgresException refused = await Assert.ThrowsAsync<PostgresException>(() => RunAsync(server.AppConnectionString(), "update movement set mg = mg + 1"));
        Assert.Equal(PostgresErrorCodes.InsufficientPrivilege, refused.SqlState);
    }

    [Fact]
    public async Task Roundtrip_WhenNobodyWorks_EveryRowIsTheSame()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        await using TestDatabase target = await postgres.CreateDatabaseAsync();
        await Backup.WriteAsync(room.Guild.OwnerConnectionString, room.PathOf("guild.zip"), null, Cancellation);
        await RestoreAsync(room.PathOf("guild.zip"), target.OwnerConnectionString, target.AppConnectionString);

        await OpenExport.WriteFileAsync(room.Guild.AppConnectionString, room.PathOf("before.zip"), Cancellation);
        await OpenExport.WriteFileAsync(target.AppConnectionString, room.PathOf("after.zip"), Cancellation);
        Dictionary<string, string> before = Entries(room.PathOf("before.zip"));
        Dictionary<string, string> after = Entries(room.PathOf("after.zip"));
        Assert.All(ExportTable.All, table => Assert.Equal(before[$"json/{table.Name}.jsonl"], after[$"json/{table.Name}.jsonl"]));
        Assert.Equal(3, before["json/lot.jsonl"].Split('\n', StringSplitOptions.RemoveEmptyEntries).Length);

        // A person signs in with the old password, and goes on where the room stood.
        Assert.Equal(await ScalarAsync<string>(room.Guild.OwnerConnectionString, "select string_agg(password_hash, ',' order by id) from person"), await ScalarAsync<string>(target.OwnerConnectionString, "select string_agg(password_hash, ',' order by id) from person"));
    }

    [Fact]
    public async Task Roundtrip_WhenTheSchemaIsOlder_IsMigratedAfterTheLoad()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        room.IsSpoilt = true;
        await RunAsync(room.Guild.OwnerConnectionString, "drop trigger lot_words on lot; drop function lot_words; alter table lot drop column words; delete from \"__EFMigrationsHistory\" where migration_id like '%_LotWords'");
        BackupManifest manifest = await Backup.WriteAsync(room.Guild.OwnerConnectionString, room.PathOf("guild.zip"), null, Cancellation);
        Assert.DoesNotContain(manifest.Migrations, m => m.EndsWith("_LotWords", StringComparison.Ordinal));
        await using TestDatabase target = await postgres.CreateDatabaseAsync();

        Restored restored = await RestoreAsync(room.PathOf("guild.zip"), target.OwnerConnectionString, target.AppConnectionString);

        Assert.True(restored.IsWhole);
        Assert.Equal(3L, await ScalarAsync<long>(target.AppConnectionString, "select count(*) from lot where words like '%' || lower(code) || '%'"));
    }

    public static TheoryData<string, string> Damages => new()
    {
        { "text", "no whole back-up" },
        { "cut", "no whole back-up" },
        { "flipped", "guild.dump" },
        { "without dump", "guild.dump is missing" },
        { "without manifest", "manifest.json is missing" },
        { "manifest changed", "manifest.json has not the checksum" },
        { "stowaway", "does not name" },
        { "newer format", "has format 2" },
        { "newer schema", "newer GuildStash" },
        { "newer server", "PostgreSQL 99" },
    };

    [Theory]
    [MemberData(nameof(Damages))]
    public async Task Restore_WhenTheArchiveIsNotFit_IsRefusedAndTheTargetIsUntouched(string damage, string words)
    {
        string file = Damage(written.File, written.PathOf("damaged.zip"), damage);
        await using TestDatabase target = await postgres.CreateDatabaseAsync();
        await RunAsync(target.OwnerConnectionString, "create table \"__EFMigrationsHistory\" (migration_id text); create table data_protection_key (id int); insert into data_protection_key values (7)");

        SafeKeepingException refusal = await Assert.ThrowsAsync<SafeKeepingException>(() => RestoreAsync(file, target.OwnerConnectionString, target.AppConnectionString));

        Assert.Contains(words, refusal.Message, StringComparison.Ordinal);
        Assert.Equal(7, await ScalarAsync<int>(target.OwnerConnectionString, "select id from data_protection_key"));

        // By the command, not even the data folder is made.
        AppOptions options = new(AppCommand.Restore, 5080, written.PathOf("nowhere"), null, null, null, "localhost", false, null, null) { File = file };
        await Assert.ThrowsAsync<SafeKeepingException>(() => SafeKeepingCommands.RestoreAsync(options, Cancellation));
        Assert.False(Directory.Exists(written.PathOf("nowhere")));
    }

    [Fact]
    public async Task Restore_WhenTheTargetHasAGuild_IsRefusedAndTheGuildIsUntouched()
    {
        await using GuildRoom other = await GuildRoom.OpenAsync(postgres);
        // Idle connections are somebody's too: those of this room, and those by which its database was made new after another test.
        NpgsqlConnection.ClearAllPools();

        SafeKeepingException refusal = await Assert.ThrowsAsync<SafeKeepingException>(() => RestoreAsync(written.File, other.OwnerConnectionString, other.AppConnectionString));

        Assert.Contains("is not empty", refusal.Message, StringComparison.Ordinal);
        Assert.Equal(5L, await CountAsync(other.OwnerConnectionString, "person"));
    }

    [Fact]
    public async Task Restore_WhenTheTargetIsInUseOrAnotherPrograms_IsRefused()
    {
        await using TestDatabase target = await postgres.CreateDatabaseAsync();
        await using (NpgsqlConnection other = new(target.AppConnectionString))
        {
            await other.OpenAsync(Cancellation);
            SafeKeepingException busy = await Assert.ThrowsAsync<SafeKeepingException>(() => RestoreAsync(written.File, target.OwnerConnectionString, target.AppConnectionString));
            Assert.Contains("Another program is connected", busy.Message, StringComparison.Ordinal);
            NpgsqlConnection.ClearPool(other);
        }

        await RunAsync(target.OwnerConnectionString, "create table recipes (id int); insert into recipes values (1)");
        SafeKeepingException foreign = await Assert.ThrowsAsync<SafeKeepingException>(() => RestoreAsync(written.File, target.OwnerConnectionString, target.AppConnectionString));
        Assert.Contains("another program", foreign.Message, StringComparison.Ordinal);
        Assert.Equal(1, await ScalarAsync<int>(target.OwnerConnectionString, "select id from recipes"));
    }

    [Fact]
    public async Task Restore_WhenAnAppRunsOnTheFolder_IsRefused()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        await Backup.WriteAsync(room.Guild.OwnerConnectionString, room.PathOf("guild.zip"), null, Cancellation);
        await using EmbeddedPostgres app = await EmbeddedPostgres.StartAsync(new EmbeddedPostgresOptions { DataDirectory = room.PathOf("data"), Durable = false }, Cancellation);
        AppOptions options = new(AppCommand.Restore, 5080, room.PathOf("data"), null, null, null, "localhost", false, null, null) { File = room.PathOf("guild.zip") };

        ServerStartException refusal = await Assert.ThrowsAsync<ServerStartException>(() => SafeKeepingCommands.RestoreAsync(options, Cancellation));

        Assert.Contains("already works on the data folder", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Restore_WhenTheLoadFails_LeavesAnEmptyDatabaseAndSaysSo()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        await Backup.WriteAsync(room.Guild.OwnerConnectionString, room.PathOf("guild.zip"), null, Cancellation);
        string file = Damage(room.PathOf("guild.zip"), room.PathOf("damaged.zip"), "no dump of PostgreSQL");
        await using TestDatabase target = await postgres.CreateDatabaseAsync();

        SafeKeepingException fault = await Assert.ThrowsAsync<SafeKeepingException>(() => RestoreAsync(file, target.OwnerConnectionString, target.AppConnectionString));

        Assert.Contains("the database is empty as before", fault.Message, StringComparison.Ordinal);
        Assert.Equal(0L, await ScalarAsync<long>(target.OwnerConnectionString, "select count(*) from pg_tables where schemaname = 'public'"));
        Assert.True((await RestoreAsync(room.PathOf("guild.zip"), target.OwnerConnectionString, target.AppConnectionString)).IsWhole);
    }

    [Fact]
    public async Task Restore_WhenTheMigrationFails_LeavesAnEmptyDatabaseAndSaysSo()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        await RunAsync(room.Guild.OwnerConnectionString, "delete from \"__EFMigrationsHistory\" where migration_id like '%_LotWords'");
        await Backup.WriteAsync(room.Guild.OwnerConnectionString, room.PathOf("guild.zip"), null, Cancellation);
        await using TestDatabase target = await postgres.CreateDatabaseAsync();

        SafeKeepingException fault = await Assert.ThrowsAsync<SafeKeepingException>(() => RestoreAsync(room.PathOf("guild.zip"), target.OwnerConnectionString, target.AppConnectionString));

        Assert.Contains("the database is empty as before", fault.Message, StringComparison.Ordinal);
        Assert.Equal(0L, await ScalarAsync<long>(target.OwnerConnectionString, "select count(*) from pg_tables where schemaname = 'public'"));
    }

    [Fact]
    public async Task Backup_WhenWritten_IsForItsOwnerAloneAndNeverReplacesAFile()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        string file = room.PathOf("guild.zip");
        await Backup.WriteAsync(room.Guild.OwnerConnectionString, file, null, Cancellation);
        byte[] first = await File.ReadAllBytesAsync(file, Cancellation);

        SafeKeepingException refusal = await Assert.ThrowsAsync<SafeKeepingException>(() => Backup.WriteAsync(room.Guild.OwnerConnectionString, file, null, Cancellation));

        Assert.Contains("is there already", refusal.Message, StringComparison.Ordinal);
        Assert.Equal(first, await File.ReadAllBytesAsync(file, Cancellation));
        Assert.Equal([file], Directory.GetFiles(room.Folder));
        if (!OperatingSystem.IsWindows())
        {
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(file));
        }
    }

    [Fact]
    public async Task Backup_WhenItFails_LeavesNothing()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        await using TestDatabase empty = await postgres.CreateDatabaseAsync();
        await Assert.ThrowsAsync<SafeKeepingException>(() => Backup.WriteAsync(empty.OwnerConnectionString, room.PathOf("a.zip"), null, Cancellation));

        // The lesser role may not read everything that a dump needs.
        SafeKeepingException fault = await Assert.ThrowsAsync<SafeKeepingException>(() => Backup.WriteAsync(room.Guild.AppConnectionString, room.PathOf("b.zip"), null, Cancellation));

        Assert.Contains("permission denied", fault.Message, StringComparison.Ordinal);
        Assert.Empty(Directory.GetFiles(room.Folder));
    }

    /// <summary>Sorts and reserves as long as nobody says stop, and once more.</summary>
    private static async Task WorkAsync(BusyRoom room, CancellationToken enough)
    {
        for (bool isLast = false; !isLast;)
        {
            isLast = enough.IsCancellationRequested;
            await room.Desk.HoldAsync(await room.Desk.LotAsync(20), 5);
        }
    }

    private static async Task<Restored> RestoreAsync(string file, string owner, string app)
    {
        await using BackupArchive archive = await BackupArchive.OpenAsync(file, Cancellation);
        return await Restoring.RunAsync(archive, owner, app, _ => { }, Cancellation);
    }

    private static string Damage(string from, string to, string damage)
    {
        byte[] bytes = File.ReadAllBytes(from);
        File.WriteAllBytes(to, damage switch
        {
            "text" => Encoding.UTF8.GetBytes("This is a letter and no archive."),
            "cut" => bytes[..(bytes.Length / 2)],
            "flipped" => [.. bytes[..5000], (byte)(bytes[5000] ^ 1), .. bytes[5001..]],
            _ => bytes,
        });
        if (damage is "text" or "cut" or "flipped")
        {
            return to;
        }

        using ZipArchive zip = new(File.Open(to, FileMode.Open), ZipArchiveMode.Update);
        switch (damage)
        {
            case "without dump":
                zip.GetEntry("guild.dump")!.Delete();
                break;
            case "without manifest":
                zip.GetEntry("manifest.json")!.Delete();
                break;
            case "stowaway":
                Write(zip, "notes.txt", "found on the way"u8.ToArray());
                break;
            case "manifest changed":
                ChangeManifest(zip, m => m["guild"] = "Another Guild", withSum: false);
                break;
            case "newer format":
                ChangeManifest(zip, m => m["format"] = 2);
                break;
            case "newer schema":
                ChangeManifest(zip, m => m["migrations"]!.AsArray().Add("29990101000000_Later"));
                break;
            case "newer server":
                ChangeManifest(zip, m => m["postgresMajor"] = 99);
                break;
            case "no dump of PostgreSQL":
                byte[] content = "not what pg_restore expects"u8.ToArray();
                Write(zip, "guild.dump", content);
                ChangeManifest(zip, m => m["entries"] = new JsonArray(new JsonObject
                {
                    ["name"] = "guild.dump",
                    ["size"] = content.Length,
                    ["sha256"] = Convert.ToHexStringLower(SHA256.HashData(content)),
                }));
                break;
        }

        return to;
    }

    private static void ChangeManifest(ZipArchive zip, Action<JsonNode> change, bool withSum = true)
    {
        using Stream old = zip.GetEntry("manifest.json")!.Open();
        JsonNode manifest = JsonNode.Parse(old)!;
        old.Dispose();
        change(manifest);
        byte[] text = JsonSerializer.SerializeToUtf8Bytes(manifest);
        Write(zip, "manifest.json", text);
        if (withSum)
        {
            Write(zip, "manifest.sha256", Encoding.ASCII.GetBytes(Convert.ToHexStringLower(SHA256.HashData(text))));
        }
    }

    private static void Write(ZipArchive zip, string name, byte[] content)
    {
        zip.GetEntry(name)?.Delete();
        using Stream into = zip.CreateEntry(name).Open();
        into.Write(content);
    }

    private static Dictionary<string, string> Entries(string file)
    {
        using ZipArchive zip = ZipFile.OpenRead(file);
        return zip.Entries.ToDictionary(e => e.FullName, e =>
        {
            using StreamReader reader = new(e.Open());
            return reader.ReadToEnd();
        });
    }

    private static Task<long> CountAsync(string connectionString, string table) => ScalarAsync<long>(connectionString, $"select count(*) from {table}");

    private static async Task<T> ScalarAsync<T>(string connectionString, string question)
    {
        await using NpgsqlConnection connection = new(Unpooled(connectionString));
        await connection.OpenAsync(Cancellation);
        await using NpgsqlCommand command = new(question, connection);
        return (T)(await command.ExecuteScalarAsync(Cancellation))!;
    }

    private static async Task RunAsync(string connectionString, string statement)
    {
        await using NpgsqlConnection connection = new(Unpooled(connectionString));
        await connection.OpenAsync(Cancellation);
        await using NpgsqlCommand command = new(statement, connection);
        await command.ExecuteNonQueryAsync(Cancellation);
    }

    private static string Unpooled(string connectionString) => new NpgsqlConnectionStringBuilder(connectionString) { Pooling = false }.ConnectionString;
}
