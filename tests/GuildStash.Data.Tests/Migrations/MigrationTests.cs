using System.Reflection;
using System.Text;
using GuildStash.Data.Ledger;
using GuildStash.Data.Tests.Server;
using GuildStash.TestSupport;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Infrastructure;
using Microsoft.EntityFrameworkCore.Migrations;
using Npgsql;

namespace GuildStash.Data.Tests.Migrations;

public sealed class MigrationTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    /// <summary>A guild as the first schema kept it: one gift, sorted into one lot, 10 g of it promised.</summary>
    private const string FirstRows =
        """
        insert into guild (id, name, address, time_zone, culture, length_unit, quarantine_policy, hold_days, loan_days, weighing_tolerance_grams, version, changed_at)
            values (1, 'Harbour Yarn Guild', '', 'Europe/London', 'en-GB', 'Yards', 'OnSignsOnly', 14, 60, 5, 0, now());
        insert into person (id, display_name, role, theme, created_at, email_confirmed, phone_number_confirmed, two_factor_enabled, lockout_enabled, access_failed_count, email, user_name)
            values ('00000000-0000-7000-8000-000000000001', 'Ada', 'Administrator', 'System', now(), false, false, false, true, 0, 'ada@example.org', 'ada@example.org');
        insert into site (id, name) values ('00000000-0000-7000-8000-000000000002', 'Main room');
        insert into bin (id, code, name, kind, site_id, place, notes, created_at, changed_at, version)
            values ('00000000-0000-7000-8000-000000000003', 'K7MS', 'Shelf', 'Shelf', '00000000-0000-7000-8000-000000000002', '', '', now(), now(), 0);
        insert into number_counter (series, year, last) values ('donation', 2026, 1), ('request', 2026, 1);
        insert into donor (id, name, contact, created_at, created_by_id, changed_at, changed_by_id, version)
            values ('00000000-0000-7000-8000-000000000009', 'Dora', 'dora@example.org', now(), '00000000-0000-7000-8000-000000000001', now(), '00000000-0000-7000-8000-000000000001', 0);
        insert into donation (id, number, kind, decision, decision_reason, received_on, wishes, notes, created_at, created_by_id, changed_at, changed_by_id, version)
            values ('00000000-0000-7000-8000-000000000004', 'D-2026-0001', 'Donation', 'Accepted', '', '2026-11-25', '', '', now(), '00000000-0000-7000-8000-000000000001', now(), '00000000-0000-7000-8000-000000000001', 0);
        insert into bag (id, donation_id, ordinal, gross_mg, tare_mg, conditions, inspection_note, version)
            values ('00000000-0000-7000-8000-000000000005', '00000000-0000-7000-8000-000000000004', 1, 500000, 0, 0, '', 0);
        insert into lot (id, code, bag_id, donation_id, bin_id, put_up, count, softness, machine_washable, care_notes, dye_lot, multicolour, conditions, notes, fibre_codes, fibre_percents, fibre_basis,
                mass_known, wraps_repeats, texture, estimate_basis, model_version, table_version, created_at, created_by_id, changed_at, changed_by_id, version)
            values ('00000000-0000-7000-8000-000000000006', 'K7M4P9U', '00000000-0000-7000-8000-000000000005', '00000000-0000-7000-8000-000000000004', '00000000-0000-7000-8000-000000000003',
                'Ball', 1, 'Unknown', 'Unknown', '', 'A12', false, 0, 'From the harbour', '{}', '{}', 'Unknown', true, '{}', 'Smooth', 'None', '', '', now(), '00000000-0000-7000-8000-000000000001', now(), '00000000-0000-7000-8000-000000000001', 0);
        insert into movement (id, from_kind, from_id, to_kind, to_id, mg, reason, note, lot_id, bag_id, at, by_id) values
            (gen_random_uuid(), 'Donor', '00000000-0000-7000-8000-000000000004', 'Bag', '00000000-0000-7000-8000-000000000005', 500000, 'Received', '', null, '00000000-0000-7000-8000-000000000005', now(), '00000000-0000-7000-8000-000000000001'),
            (gen_random_uuid(), 'Bag', '00000000-0000-7000-8000-000000000005', 'Bin', '00000000-0000-7000-8000-000000000003', 120000, 'Sorted', '', '00000000-0000-7000-8000-000000000006', '00000000-0000-7000-8000-000000000005', now(), '00000000-0000-7000-8000-000000000001');
        insert into hold_request (id, number, member_id, note, created_at, created_by_id)
            values ('00000000-0000-7000-8000-000000000007', 'R-2026-0001', '00000000-0000-7000-8000-000000000001', '', now(), '00000000-0000-7000-8000-000000000001');
        insert into hold (id, request_id, lot_id, mg, state, expires_at, created_at)
            values (gen_random_uuid(), '00000000-0000-7000-8000-000000000007', '00000000-0000-7000-8000-000000000006', 10000, 'Active', now() + interval '1 day', now());
        """;

    public static TheoryData<string> Earlier => new(GuildDatabase.Migrations.SkipLast(1));

    public static TheoryData<string> BeforeTheLast => new(GuildDatabase.Migrations.Where(m => string.CompareOrdinal(m, GuildDatabase.Migrations.Single(x => x.EndsWith("_TokensAndKin", StringComparison.Ordinal))) < 0));

    /// <summary>The first guild at each schema, made from the one before it and copied for each test.</summary>
    private static readonly Dictionary<string, TestDatabase> s_guilds = [];

    [Fact]
    public void Model_HasNoChangeWithoutAMigration()
    {
        using GuildDbContext db = GuildDatabase.Open("Host=localhost;Database=nowhere");
        Assert.False(db.Database.HasPendingModelChanges(), "The model was changed: add a migration (see DEVELOPERS.md, Schema changes).");
    }

    [Fact]
    public void Models_OfMigrationsBeforeTheNewest_AreNotKept()
    {
        using GuildDbContext db = GuildDatabase.Open("Host=localhost;Database=nowhere");
        IEnumerable<string> kept = db.GetService<IMigrationsAssembly>().Migrations
            .Where(m => m.Value.GetMethod("BuildTargetModel", BindingFlags.Instance | BindingFlags.NonPublic | BindingFlags.DeclaredOnly) is not null)
            .Select(m => m.Key);

        Assert.True(kept.SequenceEqual([GuildDatabase.Migrations[^1]]), $"Only the newest migration keeps its model: empty the class in the Designer files of the others (see DEVELOPERS.md, Schema changes). These keep one: {string.Join(", ", kept)}");
    }

    [Theory]
    [MemberData(nameof(Earlier))]
    public async Task Migrate_WhenTheDataAreOfAnEarlierSchema_TheyComeAlong(string schema)
    {
        await using TestDatabase database = await postgres.CopyAsync(await GuildAsync(schema));

        await GuildDatabase.MigrateAsync(database.OwnerConnectionString, database.AppConnectionString, Cancellation);

        await using GuildDbContext db = GuildDatabase.Open(database.AppConnectionString);
        Assert.Equal(GuildDatabase.Migrations, await db.Database.GetAppliedMigrationsAsync(Cancellation));
        Stock.Lot lot = await db.Lots.SingleAsync(Cancellation);
        Assert.Equal(("K7M4P9U", 120_000L, 10_000L, "From the harbour"), (lot.Code, lot.OnHandMg, lot.HeldMg, lot.Notes));
        Assert.Contains("a12", lot.Words, StringComparison.Ordinal);
        Assert.Equal(380_000, (await db.Bags.SingleAsync(Cancellation)).UnsortedMg);
        Intake.DonorTrailEntry entered = await db.DonorTrail.SingleAsync(Cancellation);
        Assert.Equal((Intake.DonorTrailKind.Entered, Intake.DonorTrailWay.Unknown, "name, contact"), (entered.Kind, entered.Way, entered.Fields));
        Assert.Equal("Ada", (await db.People.SingleAsync(Cancellation)).DisplayName);
        Assert.All((await BookAudit.RunAsync(db, Cancellation)).Where(l => !l.What.StartsWith("codes", StringComparison.Ordinal)), line => Assert.Empty(line.Faults));
    }

    /// <summary>
    /// From every earlier schema but the last: the last migration finds a column where it wants to make one, after those before it went well.
    /// </summary>
    [Theory]
    [MemberData(nameof(BeforeTheLast))]
    public async Task Migrate_WhenALaterMigrationFails_LeavesSchemaAndDataAsTheyWere(string schema)
    {
        await using TestDatabase database = await postgres.CopyAsync(await GuildAsync(schema));
        await Sql.RunAsync(database.OwnerConnectionString, "alter table api_token add column scope text");
        string before = await StateAsync(database);

        MigrationException failed = await Assert.ThrowsAsync<MigrationException>(() => GuildDatabase.MigrateAsync(database.OwnerConnectionString, database.AppConnectionString, Cancellation));

        Assert.Contains("\"scope\"", failed.Message, StringComparison.Ordinal);
        Assert.Contains("It is as it was before", failed.Message, StringComparison.Ordinal);
        Assert.Equal(before, await StateAsync(database));

        // Once the obstacle is gone the same database comes along.
        await Sql.RunAsync(database.OwnerConnectionString, "alter table api_token drop column scope");
        await GuildDatabase.MigrateAsync(database.OwnerConnectionString, database.AppConnectionString, Cancellation);
        await using GuildDbContext db = GuildDatabase.Open(database.AppConnectionString);
        Assert.Equal(120_000, (await db.Lots.SingleAsync(Cancellation)).OnHandMg);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Migrate_WhenFourNodesStartAtOnce_AllFindTheSchemaAndEachMigrationRunsOnce(bool isEmpty)
    {
        await using TestDatabase database = isEmpty ? await postgres.CreateDatabaseAsync() : await postgres.CopyAsync(await GuildAsync(GuildDatabase.Migrations[0]));

        await Task.WhenAll(Enumerable.Range(0, 4).Select(_ => Task.Run(() => GuildDatabase.MigrateAsync(database.OwnerConnectionString, database.AppConnectionString, Cancellation), Cancellation)));

        await using GuildDbContext db = GuildDatabase.Open(database.AppConnectionString);
        Assert.Equal(GuildDatabase.Migrations, await db.Database.GetAppliedMigrationsAsync(Cancellation));
        Assert.Equal(isEmpty ? 0 : 120_000, await db.Lots.SumAsync(l => l.OnHandMg, Cancellation));
    }

    /// <summary>By the server's clock, so that it holds on a slow machine too.</summary>
    [Fact]
    public async Task Migrate_WhenAnotherNodeTakesLongerThanACommandMay_WaitsForIt()
    {
        await using TestDatabase database = await postgres.CreateDatabaseAsync();
        await using NpgsqlConnection other = new(database.OwnerConnectionString);
        await other.OpenAsync(Cancellation);
        await using NpgsqlCommand command = new($"select pg_advisory_lock({GuildDatabase.MigrationLock})", other);
        await command.ExecuteNonQueryAsync(Cancellation);
        string hasty = new NpgsqlConnectionStringBuilder(database.OwnerConnectionString) { CommandTimeout = 1, Pooling = false }.ConnectionString;

        Task migrating = GuildDatabase.MigrateAsync(hasty, database.AppConnectionString, Cancellation);
        const string WaitsLong = "select exists (select from pg_stat_activity where datname = current_database() and wait_event = 'advisory' and now() - query_start > interval '2 s')";
        while (!migrating.IsCompleted && !await Sql.ScalarAsync<bool>(database.OwnerConnectionString, WaitsLong))
        {
            await Task.Yield();
        }

        Assert.False(migrating.IsCompleted, migrating.Exception?.ToString());
        command.CommandText = $"select pg_advisory_unlock({GuildDatabase.MigrationLock})";
        await command.ExecuteNonQueryAsync(Cancellation);
        await migrating;
        await using GuildDbContext db = GuildDatabase.Open(database.AppConnectionString);
        Assert.Equal(GuildDatabase.Migrations, await db.Database.GetAppliedMigrationsAsync(Cancellation));
    }

    /// <summary>What was booked before stands under the older rule: it counted lot by lot, and leftovers and weights not at all.</summary>
    [Fact]
    public async Task Migrate_WhenSmallStepsWereBookedBefore_TheAuditLetsThemBe()
    {
        await using TestDatabase database = await postgres.CopyAsync(await GuildAsync(GuildDatabase.Migrations.Single(m => m.EndsWith("_PiecesPlansKits", StringComparison.Ordinal))));
        for (int i = 0; i < 3; i++)
        {
            await Sql.RunAsync(database.OwnerConnectionString,
                """
                insert into movement (id, from_kind, from_id, to_kind, to_id, mg, reason, note, lot_id, bag_id, at, by_id)
                select gen_random_uuid(), 'Bin', bin_id, 'Lost', null, 30000, 'WrittenOff', '', id, bag_id, now(), created_by_id from lot
                """);
        }

        await GuildDatabase.MigrateAsync(database.OwnerConnectionString, database.AppConnectionString, Cancellation);

        await using GuildDbContext db = GuildDatabase.Open(database.AppConnectionString);
        Assert.All((await BookAudit.RunAsync(db, Cancellation)).Where(l => l.What.StartsWith("second person", StringComparison.Ordinal)), line => Assert.Empty(line.Faults));
        await Sql.RunAsync(database.OwnerConnectionString, "update guild set second_person_together_from = 0");
        Assert.NotEmpty((await BookAudit.RunAsync(db, Cancellation)).Single(l => l.What.StartsWith("second person", StringComparison.Ordinal)).Faults);
    }

    /// <summary>Columns, constraints, indexes, functions, triggers, applied migrations, and how many rows each table has with what in them.</summary>
    private static async Task<string> StateAsync(TestDatabase database)
    {
        await using NpgsqlConnection connection = new(database.OwnerConnectionString);
        await connection.OpenAsync(Cancellation);
        string[] questions =
        [
            "select table_name, column_name, data_type, is_nullable, column_default from information_schema.columns where table_schema = 'public' order by 1, 2",
            "select conrelid::regclass::text, conname, pg_get_constraintdef(oid) from pg_constraint where connamespace = 'public'::regnamespace order by 1, 2",
            "select indexdef from pg_indexes where schemaname = 'public' order by 1",
            "select proname, prosrc from pg_proc where pronamespace = 'public'::regnamespace order by 1, 2",
            "select tgrelid::regclass::text, tgname, pg_get_triggerdef(oid) from pg_trigger where not tgisinternal order by 1, 2",
            """select "MigrationId" from "__EFMigrationsHistory" order by 1""".Replace("MigrationId", "migration_id", StringComparison.Ordinal),
            "select table_name, query_to_xml(format('select * from %I order by 1', table_name), true, false, '')::text from information_schema.tables where table_schema = 'public' and table_type = 'BASE TABLE' order by 1",
        ];
        StringBuilder state = new();
        foreach (string question in questions)
        {
            await using NpgsqlCommand command = new(question, connection);
            await using NpgsqlDataReader rows = await command.ExecuteReaderAsync(Cancellation);
            while (await rows.ReadAsync(Cancellation))
            {
                object[] values = new object[rows.FieldCount];
                rows.GetValues(values);
                state.AppendJoin(" | ", values).Append('\n');
            }
        }

        return state.ToString();
    }

    /// <summary>The first guild's rows, brought along to this schema. It is dropped with the server.</summary>
    private async Task<TestDatabase> GuildAsync(string schema)
    {
        if (!s_guilds.TryGetValue(schema, out var guild))
        {
            int before = GuildDatabase.Migrations.ToList().IndexOf(schema) - 1;
            guild = before < 0 ? await postgres.CreateDatabaseAsync() : await postgres.CopyAsync(await GuildAsync(GuildDatabase.Migrations[before]));
            // An idle pooled connection would block copying it.
            string connection = new NpgsqlConnectionStringBuilder(guild.OwnerConnectionString) { Pooling = false }.ConnectionString;
            await using (GuildDbContext db = GuildDatabase.Open(connection))
            {
                await db.GetService<IMigrator>().MigrateAsync(schema, Cancellation);
            }

            if (before < 0)
            {
                await Sql.RunAsync(connection, FirstRows);
            }

            s_guilds[schema] = guild;
        }

        return guild;
    }
}
