using Microsoft.EntityFrameworkCore;

namespace GuildStash.Data.Ledger;

/// <summary>One thing that was looked at: how many, and what is wrong.</summary>
/// <param name="Faults">At most <see cref="BookAudit.MostFaults"/> sentences; empty when all is well.</param>
public sealed record AuditLine(string What, long Examined, IReadOnlyList<string> Faults);

/// <summary>Computes every balance anew from the movements and compares it with what the tables say.</summary>
public static class BookAudit
{
    public const int MostFaults = 20;

    private sealed record Finding(string Text);

    private static readonly (string What, string Table, string Faults)[] Questions =
    [
        ("lots: on hand and in quarantine as the movements say", "lot",
            """
            select 'Lot ' || l.code || ': the table has ' || l.on_hand_mg || ' mg on hand and ' || l.quarantined_mg || ' mg in quarantine, the movements '
                || coalesce(m.room, 0) || ' and ' || coalesce(m.apart, 0) || '.' as text
            from lot l
            left join (
                select lot_id,
                    sum(case when to_kind in ('Bin', 'Quarantine') then mg else 0 end - case when from_kind in ('Bin', 'Quarantine') then mg else 0 end) as room,
                    sum(case when to_kind = 'Quarantine' then mg else 0 end - case when from_kind = 'Quarantine' then mg else 0 end) as apart
                from movement where lot_id is not null group by lot_id) m on m.lot_id = l.id
            where l.on_hand_mg <> coalesce(m.room, 0) or l.quarantined_mg <> coalesce(m.apart, 0)
            """),
        ("lots: promised as the holds say, and within what is free", "lot",
            """
            select 'Lot ' || l.code || ': the table has ' || l.held_mg || ' mg promised, the holds ' || coalesce(h.mg, 0) || '; on hand are ' || l.on_hand_mg || '.' as text
            from lot l
            left join (select lot_id, sum(mg) as mg from hold where state = 'Active' group by lot_id) h on h.lot_id = l.id
            where l.held_mg <> coalesce(h.mg, 0) or l.held_mg + l.quarantined_mg > l.on_hand_mg
            """),
        ("lots: in one place, and in the kind of bin they belong in", "lot",
            """
            select 'Lot ' || l.code || ' lies in bin ' || b.code || ', which does not fit its quarantine.' as text
            from lot l join bin b on b.id = l.bin_id
            where l.closed_at is null and (l.quarantine_reason is not null) <> (b.kind = 'Quarantine')
            """),
        ("lots: free mass in the lot's own bin as the movements say", "lot",
            """
            select 'Lot ' || l.code || ': its bin has ' || coalesce(m.mg, 0) || ' mg of it by the movements, the table ' || (l.on_hand_mg - l.quarantined_mg) || '.' as text
            from lot l
            left join (
                select lot_id, place, sum(mg) as mg from (
                    select lot_id, to_id as place, mg from movement where to_kind = 'Bin'
                    union all
                    select lot_id, from_id, -mg from movement where from_kind = 'Bin') x
                group by lot_id, place) m on m.lot_id = l.id and m.place = l.bin_id
            where l.quarantine_reason is null and coalesce(m.mg, 0) <> l.on_hand_mg - l.quarantined_mg
            """),
        ("bags: unsorted as the movements say", "bag",
            """
            select 'Bag ' || b.id || ': the table has ' || b.unsorted_mg || ' mg unsorted, the movements ' || coalesce(m.mg, 0) || '.' as text
            from bag b
            left join (
                select place, sum(mg) as mg from (
                    select to_id as place, mg from movement where to_kind = 'Bag'
                    union all
                    select from_id, -mg from movement where from_kind = 'Bag') x
                group by place) m on m.place = b.id
            where b.unsorted_mg <> coalesce(m.mg, 0)
            """),
        ("checkouts: at home as the movements say", "checkout",
            """
            select 'Checkout ' || c.id || ': the table has ' || c.at_home_mg || ' mg at home, the movements ' || coalesce(m.mg, 0) || '.' as text
            from checkout c
            left join (
                select checkout_id, sum(case when to_kind = 'Member' then mg else 0 end - case when from_kind = 'Member' then mg else 0 end) as mg
                from movement where checkout_id is not null group by checkout_id) m on m.checkout_id = c.id
            where c.at_home_mg <> coalesce(m.mg, 0) or (c.closed_at is not null and c.at_home_mg <> 0)
            """),
        ("bags: what came in equals what the lots and the rest account for", "bag",
            """
            select 'Bag ' || b.id || ': came in with ' || (b.gross_mg - b.tare_mg) || ' mg, booked from the donor were ' || coalesce(m.mg, 0) || '.' as text
            from bag b join donation d on d.id = b.donation_id
            left join (select bag_id, sum(mg) as mg from movement where from_kind = 'Donor' group by bag_id) m on m.bag_id = b.id
            where coalesce(m.mg, 0) <> case when d.decision = 'DeclinedAtTheDoor' then 0 else b.gross_mg - b.tare_mg end
            """),
        ("donation numbers: no gap", "donation",
            """
            select 'Series ' || c.year || ': the counter stands at ' || c.last || ', and there are ' || count(d.id) || ' donations.' as text
            from number_counter c left join donation d on d.number like 'D-' || c.year || '-%'
            where c.series = 'donation' group by c.year, c.last having count(d.id) <> c.last
            """),
        ("request numbers: no gap", "hold_request",
            """
            select 'Series ' || c.year || ': the counter stands at ' || c.last || ', and there are ' || count(r.id) || ' requests.' as text
            from number_counter c left join hold_request r on r.number like 'R-' || c.year || '-%'
            where c.series = 'request' group by c.year, c.last having count(r.id) <> c.last
            """),
    ];

    public static async Task<IReadOnlyList<AuditLine>> RunAsync(GuildDbContext db, CancellationToken cancellation)
    {
        List<AuditLine> lines = [];
        await using var transaction = await db.Database.BeginTransactionAsync(System.Data.IsolationLevel.RepeatableRead, cancellation);
        foreach ((string what, string table, string faults) in Questions)
        {
            // Both texts are put together from the constants above, nothing from outside.
            string counting = "select count(*) as \"Value\" from " + table;
            string finding = faults + " limit " + MostFaults;
            List<long> examined = await db.Database.SqlQueryRaw<long>(counting).ToListAsync(cancellation);
            List<Finding> found = await db.Database.SqlQueryRaw<Finding>(finding).ToListAsync(cancellation);
            lines.Add(new AuditLine(what, examined[0], [.. found.Select(f => f.Text)]));
        }

        lines.Add(await CodesAsync(db, cancellation));
        return lines;
    }

    private static async Task<AuditLine> CodesAsync(GuildDbContext db, CancellationToken cancellation)
    {
        long examined = 0;
        List<string> faults = [];
        await foreach (string code in db.Lots.AsNoTracking().Select(l => l.Code).AsAsyncEnumerable().WithCancellation(cancellation))
        {
            examined++;
            if (!Domain.Codes.LotCode.TryParse(code, out _) && faults.Count < MostFaults)
            {
                faults.Add($"Lot code {code} has a wrong check character.");
            }
        }

        await foreach (string code in db.Bins.AsNoTracking().Select(b => b.Code).AsAsyncEnumerable().WithCancellation(cancellation))
        {
            examined++;
            if (!Domain.Codes.BinCode.TryParse(code, out _) && faults.Count < MostFaults)
            {
                faults.Add($"Bin code {code} has a wrong check character.");
            }
        }

        return new AuditLine("codes: check characters", examined, faults);
    }
}
