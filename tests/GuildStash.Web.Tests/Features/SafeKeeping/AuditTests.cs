using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.TestSupport;
using GuildStash.Web.Tests.Support;
using Npgsql;
using Xunit;

namespace GuildStash.Web.Tests.Features.SafeKeeping;

/// <summary>Each look of the audit finds what it is for, in a room in which somebody with the owner's rights meddled.</summary>
public sealed class AuditTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    public static TheoryData<string, string> Faults => new()
    {
        { "update lot set on_hand_mg = on_hand_mg + 7 where on_hand_mg = 150000", "the table has 150007 mg on hand, the movements 150000 mg" },
        { "update lot set quarantined_mg = quarantined_mg + 7 where held_mg > 0", "7 mg in quarantine, the movements 0 mg" },
        { "update lot set bin_id = (select id from bin where kind = 'SortingTable') where quarantine_reason is not null", "the bin does not fit" },
        { "update lot set bin_id = (select id from bin where kind = 'Quarantine') where quarantine_reason is null and held_mg > 0", "should lie in its bin, the movements put 0 mg there" },
        { "update lot set held_mg = held_mg + 7 where held_mg > 0", "30007 mg promised, the holds 30000 mg" },
        { "update hold set state = 'TakenHome'", "the hold of 30000 mg and its checkout do not fit" },
        { "update bag set unsorted_mg = unsorted_mg + 7", "mg unsorted, the movements" },
        { "update bag set gross_mg = gross_mg + 7", "90000007 mg came in, booked from the donor are 90000000 mg" },
        { "update checkout set at_home_mg = at_home_mg + 7", "30007 mg at home, the movements 30000 mg" },
        { "update checkout set taken_mg = taken_mg + 7", "50007 mg were taken, the movements say 50000 mg" },
        { "update lot_return set mg = mg + 7", "20007 mg were brought back, the movements say 20000 mg" },
        { "update checkout set closed_at = now()", "is closed with 30000 mg still at home" },
        { "alter table movement disable trigger user; update movement set to_id = gen_random_uuid() where to_kind = 'Member'", "names a place of the kind Member that does not exist" },
        { "alter table movement disable trigger user; update movement set mg = mg + 7 where from_kind = 'Donor'", "came in and did not go out" },
        { "alter table movement disable trigger user; update movement set from_id = (select id from bin where kind = 'Quarantine'), from_kind = 'Quarantine' where to_kind = 'Member'", "took more from a bin than was in it (-30000 mg)" },
        { "update donation set number = replace(number, '-0001', '-0009') where number like '%-0001'", "-0001 was given and is missing" },
        { "update donation set number = replace(number, '-0001', '-0009') where number like '%-0001'", "-0009 is beyond the last number given, 2" },
        { "update hold_request set number = replace(number, '-0001', '-0009')", "-0001 was given and is missing" },
        { "update lot set code = 'K7M4P9A' where held_mg > 0", "Lot code K7M4P9A is wrong" },
        { WriteOff("null"), "60000 mg were written off without a second person" },
        { LostRest, "60000 mg were written off without a second person" },
        { Request("'Waiting', null, null") + WriteOff("(select id from approval)"), "60000 mg were booked under a request that was not approved" },
        { "alter table approval drop constraint approval_second_person_is_another;" + Request("'Approved', now(), p.id"), "(60000 mg) was settled by the person who asked" },
        { Count(2000) + CountMovement(2500), "a count booked 2500 mg, more than its tolerance of 2000 mg, without a second person" },
        { Count(9000) + CountMovement(2400), "a count found a difference of -2500 mg, booked are -2400 mg" },
        { "update bin set code = 'K7MA' where kind = 'Quarantine'", "Bin code K7MA is wrong" },
    };

    private static string WriteOff(string approval) =>
        "insert into movement (id, from_kind, from_id, to_kind, mg, reason, note, lot_id, bag_id, approval_id, at, by_id) "
        + $"select gen_random_uuid(), 'Bin', bin_id, 'Waste', 60000, 'WrittenOff', '', id, bag_id, {approval}, now(), created_by_id from lot where held_mg > 0;";

    private const string LostRest =
        "insert into movement (id, from_kind, from_id, to_kind, mg, reason, note, bag_id, at, by_id) "
        + "select gen_random_uuid(), 'Bag', bag_id, 'Lost', 60000, 'GoneMissing', '', bag_id, now(), created_by_id from lot where held_mg > 0;";

    private static string Count(int tolerance) =>
        "insert into bin_count (id, bin_id, way, outcome, begun_at, begun_by_id, lapses_at, ended_at, ended_by_id, lots, book_mg, found_mg, tolerance_mg) "
        + $"select gen_random_uuid(), bin_id, 'LotByLot', 'Booked', now(), created_by_id, now(), now(), created_by_id, 1, 100000, 97500, {tolerance} from lot where held_mg > 0;"
        + $"insert into bin_count_line (count_id, lot_id, found_mg, outcome, book_mg, tolerance_mg) select c.id, l.id, 97500, 'Booked', 100000, {tolerance} from bin_count c, lot l where held_mg > 0;";

    private static string CountMovement(int mg) =>
        "insert into movement (id, from_kind, from_id, to_kind, mg, reason, note, lot_id, bag_id, count_id, at, by_id) "
        + $"select gen_random_uuid(), 'Bin', l.bin_id, 'Adjustment', {mg}, 'Counted', '', l.id, l.bag_id, c.id, now(), l.created_by_id from lot l, bin_count c where l.held_mg > 0;";

    private static string Request(string settled) =>
        "insert into approval (id, kind, payload, subject, mg, asked_at, asked_by_id, asked_as, decision_note, state, decided_at, decided_by_id) "
        + $"select gen_random_uuid(), 'WriteOff', '{{}}', 'K7M4-P9U', 60000, now(), p.id, 'Volunteer', '', {settled} from person p where role = 'Volunteer';";

    [Theory]
    [MemberData(nameof(Faults))]
    public async Task Audit_WhenSomebodyMeddled_SaysWhatIsWrong(string meddling, string words)
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        room.IsSpoilt = true;
        await using (GuildDbContext clean = room.Guild.Look())
        {
            Assert.All(await BookAudit.RunAsync(clean, Cancellation), line => Assert.Empty(line.Faults));
        }

        await using (NpgsqlConnection connection = new(room.Guild.OwnerConnectionString))
        {
            await connection.OpenAsync(Cancellation);
            await using NpgsqlCommand command = new(meddling, connection);
            await command.ExecuteNonQueryAsync(Cancellation);
        }

        await using GuildDbContext db = room.Guild.Look();
        IReadOnlyList<AuditLine> lines = await BookAudit.RunAsync(db, Cancellation);
        Assert.Contains(lines.SelectMany(l => l.Faults), fault => fault.ToString().Contains(words, StringComparison.Ordinal));
    }

    [Fact]
    public async Task Audit_WhileItRuns_TellsEachStepAndTheEnd()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        await using GuildDbContext db = room.Guild.Look();
        Told told = new();

        IReadOnlyList<AuditLine> lines = await BookAudit.RunAsync(db, told, Cancellation);

        Assert.Equal(lines.Select(l => l.What).Append(""), told.Steps.Select(s => s.Doing));
        Assert.Equal(Enumerable.Range(0, lines.Count + 1), told.Steps.Select(s => s.Done));
        Assert.All(told.Steps, s => Assert.Equal(lines.Count, s.Of));
        Assert.Equal(3, lines.Single(l => l.What.StartsWith("lots: on hand", StringComparison.Ordinal)).Examined);
    }

    private sealed class Told : IProgress<AuditProgress>
    {
        public List<AuditProgress> Steps { get; } = [];

        public void Report(AuditProgress value) => Steps.Add(value);
    }
}
