using GuildStash.Domain.Codes;
using GuildStash.Domain.Intake;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Sorting;
using Npgsql;
using NpgsqlTypes;

namespace GuildStash.Benchmarks;

/// <summary>
/// Fills a guild with lots. A few hundred are made by the use case, so that their figures are real; the rest are copies of them with
/// codes, bags and movements of their own, written in bulk by the owner, so that the triggers keep their balances.
/// </summary>
internal sealed class Stock(Guild guild)
{
    public const int Patterns = 200;
    private const int LotsPerBag = 25;

    private readonly Random _random = new(20261125);

    public async Task FillAsync(int lots)
    {
        Guid bag = await BagAsync(60_000);
        for (int i = 0; i < Patterns; i++)
        {
            await guild.DoAsync<AddLot, Web.Features.Inventory.LotView>((u, by) => u.RunAsync(by, bag, NextLot(), default));
        }

        await using NpgsqlConnection connection = new(guild.OwnerConnectionString);
        await connection.OpenAsync();
        await CopyCodesAsync(connection, lots - Patterns);
        await RunAsync(connection, BagsSql);
        List<string> columns = await ColumnsAsync(connection);
        await RunAsync(connection, $"insert into lot ({string.Join(", ", columns)}) select {string.Join(", ", columns.Select(Source))} from fresh f join bag b on b.id = f.bag_id join pattern p on p.place = f.pattern");
        await RunAsync(connection, MovementsSql);
        // As a server's own housekeeping leaves a room that was filled over months.
        await RunAsync(connection, "vacuum (full, analyze) lot");
        await RunAsync(connection, "vacuum analyze");
    }

    public async Task<Guid> BagAsync(decimal grams) =>
        (await guild.DoAsync<LogGift, LoggedGift>((u, by) => u.RunAsync(by, new GiftInput { Bags = [new BagInput(grams, 0, [])] }, default))).Bags[0].Id;

    /// <summary>Yarn of every class and colour, half of it with a band.</summary>
    public LotInput NextLot()
    {
        WeightClass weight = (WeightClass)_random.Next(10);
        bool banded = _random.Next(2) == 0;
        return new LotInput
        {
            Grams = _random.Next(30, 400),
            ScaleDivisionGrams = 1,
            PutUp = (PutUp)_random.Next(5),
            WeightClass = banded ? null : weight,
            Band = banded ? new BandInput(_random.Next(20, 400), 50) : null,
            Texture = Texture.Smooth,
            Fibres = _random.Next(4) switch { 0 => [], 1 => [new("PAN", 100)], 2 => [new("CO", null)], _ => [new("WO", 75), new("PA", 25)] },
            MachineWashable = (Tristate)_random.Next(3),
            Softness = (Softness)_random.Next(4),
            ColourHex = $"#{_random.Next(0x1000000):x6}",
            DyeLot = _random.Next(3) == 0 ? $"{_random.Next(1000, 9999)}" : null,
        };
    }

    private async Task CopyCodesAsync(NpgsqlConnection connection, int lots)
    {
        await RunAsync(connection, "create temp table pattern as select row_number() over (order by code) as place, lot.* from lot");
        await RunAsync(connection, "create temp table fresh (n int, id uuid, code text, bag_id uuid, donation_id uuid, pattern int, primary key (n))");
        long serial = Guild.CopiesFromSerial;
        Guid bag = Guid.Empty;
        Guid donation = Guid.Empty;
        await using NpgsqlBinaryImporter copy = await connection.BeginBinaryImportAsync("copy fresh from stdin (format binary)");
        for (int i = 0; i < lots; i++)
        {
            (bag, donation) = i % LotsPerBag == 0 ? (Guid.CreateVersion7(), Guid.CreateVersion7()) : (bag, donation);
            await copy.StartRowAsync();
            await copy.WriteAsync(i, NpgsqlDbType.Integer);
            await copy.WriteAsync(Guid.CreateVersion7(), NpgsqlDbType.Uuid);
            await copy.WriteAsync(LotCode.Next(ref serial).Value, NpgsqlDbType.Text);
            await copy.WriteAsync(bag, NpgsqlDbType.Uuid);
            await copy.WriteAsync(donation, NpgsqlDbType.Uuid);
            await copy.WriteAsync(1 + _random.Next(Patterns), NpgsqlDbType.Integer);
        }

        await copy.CompleteAsync();
    }

    private const string BagsSql =
        """
        insert into donation (id, number, kind, decision, decision_reason, received_on, wishes, notes, created_at, created_by_id, changed_at, changed_by_id, version)
        select f.donation_id, 'D-1999-' || case when f.n / 25 < 9999 then lpad((f.n / 25 + 1)::text, 4, '0') else (f.n / 25 + 1)::text end, 'Donation', 'Accepted', '', current_date - f.n % 365, '', '', now(), p.id, now(), p.id, 0
        from fresh f, (select id from person limit 1) p where f.n % 25 = 0;
        insert into number_counter (series, year, last) select 'donation', 1999, count(*) from donation where number like 'D-1999-%';
        insert into bag (id, donation_id, ordinal, gross_mg, tare_mg, conditions, inspection_note, version)
        select f.bag_id, f.donation_id, 1, sum(p.on_hand_mg), 0, 0, '', 0 from fresh f join pattern p on p.place = f.pattern group by f.bag_id, f.donation_id;
        insert into movement (id, from_kind, from_id, to_kind, to_id, mg, reason, note, bag_id, at, by_id)
        select gen_random_uuid(), 'Donor', b.donation_id, 'Bag', b.id, b.gross_mg, 'Received', '', b.id, now(), p.id
        from bag b, (select id from person limit 1) p where b.unsorted_mg = 0 and b.id in (select bag_id from fresh);
        """;

    private const string MovementsSql =
        """
        insert into movement (id, from_kind, from_id, to_kind, to_id, mg, reason, note, lot_id, bag_id, at, by_id)
        select gen_random_uuid(), 'Bag', f.bag_id, 'Bin', p.bin_id, p.on_hand_mg, 'Sorted', '', f.id, f.bag_id, now(), p.created_by_id
        from fresh f join pattern p on p.place = f.pattern
        """;

    private static string Source(string column) => column switch
    {
        "id" => "f.id",
        "code" => "f.code",
        "bag_id" => "b.id",
        "donation_id" => "b.donation_id",
        "on_hand_mg" or "quarantined_mg" or "held_mg" => "0",
        "created_at" or "changed_at" => "p.created_at - f.n * interval '5 minutes'",
        _ => "p." + column,
    };

    private static async Task<List<string>> ColumnsAsync(NpgsqlConnection connection)
    {
        await using NpgsqlCommand command = new("select column_name from information_schema.columns where table_schema = 'public' and table_name = 'lot' and is_generated = 'NEVER' order by ordinal_position", connection);
        await using NpgsqlDataReader reader = await command.ExecuteReaderAsync();
        List<string> columns = [];
        while (await reader.ReadAsync())
        {
            columns.Add(reader.GetString(0));
        }

        return columns;
    }

    private static async Task RunAsync(NpgsqlConnection connection, string sql)
    {
        await using NpgsqlCommand command = new(sql, connection) { CommandTimeout = 600 };
        await command.ExecuteNonQueryAsync();
    }
}
