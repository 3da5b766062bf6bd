namespace GuildStash.Data.Ledger;

/// <summary>
/// Whether a second person stood behind all that needs one. What left alone is added up as the use cases do it: of a lot and of all that
/// splits and merges connected it with by then, within 30 days. Movements up to a mark were booked before a rule was there.
/// </summary>
internal static class SecondPersonQuestion
{
    private const string Alone =
        """
        alone as materialized (
            select m.lot_id, m.sequence, m.at, m.mg, l.code
            from movement m
            join guild g on m.sequence > g.second_person_together_from
            join lot l on l.id = m.lot_id
            join bag b on b.id = m.bag_id
            where m.approval_id is null and (
                m.reason = 'WrittenOff'
                -- mould and insects (bits 32 and 64) leave at once
                or (m.reason = 'Discarded' and (l.conditions | b.conditions) & 96 = 0
                    and not exists (select 1 from lot_return r where r.lot_id = m.lot_id and r.mg = m.mg and r.settled_at = m.at and r.conditions & 96 <> 0))
                -- of a whole lot that was handed over, the weighing tolerance is nobody's doing
                or (m.reason = 'WeighingDifference' and m.to_kind = 'Adjustment'
                    and not exists (select 1 from movement h where h.lot_id = m.lot_id and h.reason = 'HandedOver' and h.at = m.at))))
        """;

    public static readonly AuditQuestion Is = new("second person: what left the books over 50 g, and requests settled by another account", "approval",
        $"""
        with {Alone}
        select 0 as rule, coalesce(l.code, d.number || '/' || b.ordinal) as who, m.mg as a, 0::bigint as b, 0::bigint as c
        from movement m
        join guild g on m.sequence > g.second_person_from
        join bag b on b.id = m.bag_id
        join donation d on d.id = b.donation_id
        left join lot l on l.id = m.lot_id
        left join approval a on a.id = m.approval_id and a.kind in ('WriteOff', 'CountDifference') and a.state = 'Approved'
        where m.mg > 50000 and a.id is null and m.to_kind in ('Waste', 'Lost')
            and (m.reason = 'WrittenOff'
                -- the rest of a bag that nobody can show
                or (m.reason = 'GoneMissing' and m.lot_id is null)
                -- thrown away at once: mould and insects, at the door, and, before there was a rule for them, leftovers that did not pass
                or (m.reason = 'Discarded' and (coalesce(l.conditions, 0) | b.conditions) & 96 = 0 and d.decision = 'Accepted'
                    and not exists (
                        select 1 from lot_return r
                        where r.lot_id = m.lot_id and r.mg = m.mg and r.settled_at = m.at and (r.conditions & 96 <> 0 or m.sequence <= g.second_person_together_from))))
        union all
        select 1, a.subject, a.mg, 0, 0 from approval a
        where a.state in ('Approved', 'Declined') and a.decided_by_id = a.asked_by_id and a.review_after_hours is null
        union all
        select 2, a.subject, a.mg, a.review_after_hours, 0 from approval a
        where a.review_after_hours is not null and a.decided_at < a.asked_at + a.review_after_hours * interval '1 hour'
        union all
        select 3, coalesce(l.code, ''), m.mg, 0, 0
        from movement m join approval a on a.id = m.approval_id left join lot l on l.id = m.lot_id
        where a.state <> 'Approved'
        union all
        select 4, x.code, x.mg, t.mg::bigint, 0
        from alone x
        cross join lateral (
            with recursive kin as (
                select x.lot_id as id
                union
                select case when t.from_lot_id = k.id then t.to_lot_id else t.from_lot_id end
                from kin k join lot_transfer t on (t.from_lot_id = k.id or t.to_lot_id = k.id) and t.at <= x.at)
            select sum(y.mg) as mg from alone y join kin on kin.id = y.lot_id
            where y.sequence <= x.sequence and y.at >= x.at - interval '30 days') t
        where t.mg > 50000
        union all
        select 5, l.code, m.mg, 0, 0
        from movement m
        join guild g on m.sequence > g.second_person_together_from
        join lot l on l.id = m.lot_id
        left join approval a on a.id = m.approval_id and a.kind = 'Weighing' and a.state = 'Approved'
        where m.reason = 'WeighingDifference' and m.from_kind = 'Adjustment' and m.to_kind in ('Bin', 'Quarantine') and m.mg > 50000 and a.id is null
            -- the first weight of a lot is no correction
            and exists (select 1 from movement e where e.lot_id = m.lot_id and e.sequence < m.sequence)
            and not exists (select 1 from movement h where h.lot_id = m.lot_id and h.reason = 'HandedOver' and h.at = m.at)
        """,
        "Lot or bag {0}: {1} mg were written off without a second person.",
        "The request about {0} ({1} mg) was settled by the person who asked.",
        "The request about {0} ({1} mg) was confirmed by the same person before {2} hours were over.",
        "Lot {0}: {1} mg were booked under a request that was not approved.",
        "Lot {0}: with {1} mg more, {2} mg of it and of lots that share its yarn left within 30 days without a second person.",
        "Lot {0}: a new weight added {1} mg without a second person.");
}
