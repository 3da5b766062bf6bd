using GuildStash.Domain.Counting;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Counting;

/// <summary>A bin that may be counted next.</summary>
/// <param name="Movements">In and out since its last count, or ever.</param>
/// <param name="Days">Whole days since its last count, or since it was made.</param>
/// <param name="Differs">Its last count was of the whole bin and beyond its tolerance.</param>
/// <param name="CountedBy">Who counts it at this moment; null where nobody does.</param>
public sealed record PlannedBin(string Code, string Name, string Place, int Lots, int Movements, int Days, DateTimeOffset? LastCountedAt, bool Differs, string? CountedBy)
{
    public int Score => CountPlan.Score(Movements, Days, Differs);

    public string Display => BinCodes.Display(Code);
}

/// <summary>Puts the bins in the order in which they should be counted.</summary>
public sealed class CountPlanReader(GuildWork work)
{
    /// <summary>Bins that are proposed.</summary>
    public const int Proposed = 30;

    private sealed record Row(string Code, string Name, string Place, int Lots, int Movements, DateTimeOffset Since, DateTimeOffset? LastCountedAt, bool Differs, string? CountedBy);

    /// <summary>The first <see cref="Proposed"/> open bins that have something in them or had; the sorting table, which is never at rest, is left out.</summary>
    public Task<Outcome<IReadOnlyList<PlannedBin>>> RunAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<IReadOnlyList<PlannedBin>>(by, Role.Volunteer, async act =>
        {
            List<Row> rows = await RowsAsync(act);
            return rows.Where(r => r.Lots > 0 || r.Movements > 0)
                .Select(r => new PlannedBin(r.Code, r.Name, r.Place, r.Lots, r.Movements, Math.Max(0, (int)(act.Now - r.Since).TotalDays), r.LastCountedAt, r.Differs, r.CountedBy))
                .OrderByDescending(p => p.Score).ThenByDescending(p => p.Days).ThenBy(p => p.Code, StringComparer.Ordinal).Take(Proposed).ToArray();
        }, cancellation);

    /// <summary>One pass over the movements.</summary>
    private static Task<List<Row>> RowsAsync(Act act) => act.Db.Database.SqlQuery<Row>(
        $"""
         with moved as (
             select b.id, count(*)::int as n
             from movement m
             cross join lateral (values (m.from_kind, m.from_id), (m.to_kind, m.to_id)) as e(kind, id)
             join bin b on b.id = e.id and e.kind in ('Bin', 'Quarantine') and m.at > coalesce(b.last_counted_at, '-infinity')
             where m.reason not in ('Counted', 'GoneMissing')
             group by b.id),
         held as (select bin_id, count(*)::int as n from lot where closed_at is null group by bin_id),
         last as (
             select distinct on (bin_id) bin_id, outcome from bin_count
             where outcome not in ('Counting', 'LeftOff', 'Lapsed') order by bin_id, ended_at desc)
         select b.code, b.name, b.place, coalesce(held.n, 0) as lots, coalesce(moved.n, 0) as movements,
             coalesce(b.last_counted_at, b.created_at) as since, b.last_counted_at, coalesce(last.outcome = 'Differs', false) as differs, p.display_name as counted_by
         from bin b
         left join moved on moved.id = b.id
         left join held on held.bin_id = b.id
         left join last on last.bin_id = b.id
         left join bin_count c on c.bin_id = b.id and c.ended_at is null and c.lapses_at > now()
         left join person p on p.id = c.begun_by_id
         where b.closed_at is null and b.kind <> 'SortingTable'
         """).ToListAsync(act.Cancellation);
}
