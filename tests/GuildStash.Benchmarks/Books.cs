using System.Diagnostics;
using System.Globalization;
using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Domain.Codes;
using Npgsql;

namespace GuildStash.Benchmarks;

/// <summary>
/// Measures the audit of the books. A tenth as many lots as movements; most movements carry a lot to another bin and back or book a
/// difference and its opposite, every fifth lot was taken home and brought back.
/// </summary>
internal sealed class Books(Guild guild, TextWriter? explain)
{
    private const int Repeats = 3;
    private const int MovementsPerLot = 10;

    public async Task RunAsync(int movements, TextWriter output)
    {
        int lots = movements / MovementsPerLot;
        await new Stock(guild).FillAsync(lots);
        await FillAsync(movements);
        long written = await CountAsync();
        for (int repeat = 1; repeat <= Repeats; repeat++)
        {
            await output.WriteLineAsync();
            await output.WriteLineAsync(string.Create(CultureInfo.InvariantCulture, $"audit {repeat} of {written} movements, {lots} lots"));
            await AuditAsync(output);
        }

        await ExplainAsync();
    }

    /// <summary>How the server answers each question, with times and pages read.</summary>
    private async Task ExplainAsync()
    {
        if (explain is null)
        {
            return;
        }

        await using NpgsqlConnection connection = new(guild.AppConnectionString);
        await connection.OpenAsync();
        foreach (AuditQuestion question in AuditQuestions.All)
        {
            await explain.WriteLineAsync(question.What);
            await using NpgsqlCommand command = new("set work_mem = '64MB'; explain (analyze, buffers) " + question.Faults, connection) { CommandTimeout = 600 };
            await using NpgsqlDataReader reader = await command.ExecuteReaderAsync();
            while (await reader.ReadAsync())
            {
                await explain.WriteLineAsync("    " + reader.GetString(0));
            }
        }
    }

    private async Task AuditAsync(TextWriter output)
    {
        long start = Stopwatch.GetTimestamp();
        List<(string What, long At)> steps = [];
        await using GuildDbContext db = GuildDatabase.Open(guild.AppConnectionString);
        IReadOnlyList<AuditLine> lines = await BookAudit.RunAsync(db, new Noted(steps), default);
        TimeSpan all = Stopwatch.GetElapsedTime(start);
        for (int i = 0; i + 1 < steps.Count; i++)
        {
            await output.WriteLineAsync(string.Create(CultureInfo.InvariantCulture, $"  {Stopwatch.GetElapsedTime(steps[i].At, steps[i + 1].At).TotalSeconds,6:0.00} s  {steps[i].What}"));
        }

        foreach (Domain.Rules.Phrase fault in lines.SelectMany(l => l.Faults).Take(10))
        {
            await output.WriteLineAsync($"  WRONG {fault}");
        }

        await output.WriteLineAsync(string.Create(CultureInfo.InvariantCulture, $"  {all.TotalSeconds,6:0.00} s  in all, {lines.Sum(l => l.Faults.Count)} faults"));
    }

    /// <summary>Every lot ends where it began, so the balances stay as they are and the trigger that keeps them may rest meanwhile.</summary>
    private async Task FillAsync(int movements)
    {
        await using NpgsqlConnection connection = new(guild.OwnerConnectionString);
        await connection.OpenAsync();
        await using NpgsqlCommand command = new(FillSql, connection) { CommandTimeout = 1800 };
        command.Parameters.Add(new NpgsqlParameter { ParameterName = "all", Value = (long)movements });
        long serial = Guild.CopiesFromSerial % BinCode.SerialCount;
        command.Parameters.Add(new NpgsqlParameter { ParameterName = "shelf", Value = BinCode.Next(ref serial).Value });
        await command.ExecuteNonQueryAsync();
        await using NpgsqlCommand tidy = new("vacuum analyze", connection) { CommandTimeout = 1800 };
        await tidy.ExecuteNonQueryAsync();
    }

    private async Task<long> CountAsync()
    {
        await using NpgsqlConnection connection = new(guild.OwnerConnectionString);
        await connection.OpenAsync();
        await using NpgsqlCommand command = new("select count(*) from movement", connection);
        return (long)(await command.ExecuteScalarAsync())!;
    }

    private const string FillSql =
        """
        alter table movement disable trigger movement_applied;
        insert into bin (id, code, name, kind, site_id, place, notes, created_at, changed_at, version)
            select gen_random_uuid(), @shelf, 'Shelf', 'Shelf', id, '', '', now(), now(), 0 from site;
        create temp table home as
            select gen_random_uuid() as id, l.id as lot_id, l.bag_id, l.bin_id, p.id as person from lot l, (select id from person limit 1) p
            where l.closed_at is null and right(l.id::text, 1) in ('0', '5', 'a');
        insert into checkout (id, lot_id, member_id, taken_mg, due_on, created_at, handed_over_by_id, closed_at, version)
            select id, lot_id, person, 1000, current_date, now(), person, now(), 0 from home;
        insert into lot_return (id, checkout_id, lot_id, mg, conditions, created_at, received_by_id, settled_at, settled_by_id, inspection_note)
            select gen_random_uuid(), id, lot_id, 1000, 0, now(), person, now(), person, '' from home;
        insert into movement (id, from_kind, from_id, to_kind, to_id, mg, reason, note, lot_id, bag_id, checkout_id, at, by_id)
            select gen_random_uuid(), 'Bin', bin_id, 'Member', person, 1000, 'HandedOver', '', lot_id, bag_id, id, now(), person from home
            union all
            select gen_random_uuid(), 'Member', person, 'Bin', bin_id, 1000, 'Returned', '', lot_id, bag_id, id, now(), person from home;
        insert into movement (id, from_kind, from_id, to_kind, to_id, mg, reason, note, lot_id, bag_id, at, by_id)
            select gen_random_uuid(), case when n % 4 = 3 then 'Adjustment' else 'Bin' end,
                case n % 4 when 0 then l.bin_id when 1 then o.id when 2 then l.bin_id end,
                case when n % 4 = 2 then 'Adjustment' else 'Bin' end,
                case n % 4 when 0 then o.id when 1 then l.bin_id when 3 then l.bin_id end,
                1000, case when n % 4 < 2 then 'Moved' else 'Counted' end, '', l.id, l.bag_id, now(), l.created_by_id
            from (select *, row_number() over (order by id) - 1 as place, count(*) over () as lots from lot) l,
                (select id from bin where code = @shelf) o,
                (select (@all - count(*) + 3) / 4 as rounds from movement) t,
                generate_series(0, 4 * ((t.rounds - 1 - l.place) / l.lots + 1) - 1) n
            where l.place < t.rounds;
        alter table movement enable trigger movement_applied;
        """;

    private sealed class Noted(List<(string What, long At)> steps) : IProgress<AuditProgress>
    {
        public void Report(AuditProgress value) => steps.Add((value.Doing, Stopwatch.GetTimestamp()));
    }
}
