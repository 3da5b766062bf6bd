namespace GuildStash.Data.Ledger;

/// <summary>One look at the books.</summary>
/// <param name="What">What is compared, for people.</param>
/// <param name="Counted">The table whose rows are looked at.</param>
/// <param name="Faults">SQL that gives one row for each fault: which sentence (rule), of what (who), and up to three figures (a, b, c).</param>
/// <param name="Sentences">A sentence for each rule; {0} is who, {1} to {3} are the figures.</param>
internal sealed record AuditQuestion(string What, string Counted, string Faults, params string[] Sentences);

/// <summary>What the audit asks. Each question reads the movements once at most.</summary>
internal static class AuditQuestions
{
    public static readonly IReadOnlyList<AuditQuestion> All =
    [
        new("lots: on hand, in quarantine and in one place as the movements say", "lot",
            """
            with place as (
                select lot_id, kind, place, sum(mg) as mg from (
                    select lot_id, to_kind as kind, to_id as place, mg from movement where lot_id is not null and to_kind in ('Bin', 'Quarantine')
                    union all
                    select lot_id, from_kind, from_id, -mg from movement where lot_id is not null and from_kind in ('Bin', 'Quarantine')) x
                group by lot_id, kind, place),
            waiting as (
                select r.lot_id, sum(r.mg) as mg, coalesce(sum(r.mg) filter (where r.quarantine_bin_id = l.bin_id), 0) as there
                from lot_return r join lot l on l.id = r.lot_id where r.settled_at is null group by r.lot_id),
            books as materialized (
                select l.code, l.on_hand_mg, l.quarantined_mg, coalesce(m.room, 0) as room, coalesce(m.apart, 0) as apart, m.least,
                    coalesce(m.room, 0) - coalesce(w.mg, 0) as at_rest, coalesce(m.own, 0) - coalesce(w.there, 0) as own
                from lot l
                left join (
                    select p.lot_id, sum(p.mg) as room, sum(p.mg) filter (where p.kind = 'Quarantine') as apart,
                        sum(p.mg) filter (where p.place = o.bin_id) as own, min(p.mg) as least
                    from place p join lot o on o.id = p.lot_id group by p.lot_id) m on m.lot_id = l.id
                left join waiting w on w.lot_id = l.id)
            select 0 as rule, code as who, on_hand_mg as a, room::bigint as b, 0::bigint as c from books where on_hand_mg <> room
            union all
            select 1, code, quarantined_mg, apart::bigint, 0 from books where quarantined_mg <> apart
            union all
            select 2, code, at_rest::bigint, own::bigint, 0 from books where at_rest <> own
            union all
            select 3, code, least::bigint, 0, 0 from books where least < 0
            """,
            "Lot {0}: the table has {1} mg on hand, the movements {2} mg.",
            "Lot {0}: the table has {1} mg in quarantine, the movements {2} mg.",
            "Lot {0}: {1} mg should lie in its bin, the movements put {2} mg there.",
            "Lot {0}: the movements took more from a bin than was in it ({1} mg)."),
        new("lots: promised as the holds say, and within what is free", "lot",
            """
            select case when l.held_mg <> coalesce(h.mg, 0) then 0 else 1 end as rule, l.code as who, l.held_mg as a,
                case when l.held_mg <> coalesce(h.mg, 0) then coalesce(h.mg, 0)::bigint else l.on_hand_mg - l.quarantined_mg end as b, 0::bigint as c
            from lot l
            left join (select lot_id, sum(mg) as mg from hold where state = 'Active' group by lot_id) h on h.lot_id = l.id
            where l.held_mg <> coalesce(h.mg, 0) or l.held_mg + l.quarantined_mg > l.on_hand_mg
            """,
            "Lot {0}: the table has {1} mg promised, the holds {2} mg.",
            "Lot {0}: {1} mg are promised, and only {2} mg are there to be promised."),
        new("lots: in the kind of bin they belong in", "lot",
            """
            select 0 as rule, l.code || ' / ' || b.code as who, 0::bigint as a, 0::bigint as b, 0::bigint as c
            from lot l join bin b on b.id = l.bin_id
            where l.closed_at is null and (l.quarantine_reason is not null) <> (b.kind = 'Quarantine')
            """,
            "Lot / bin {0}: the bin does not fit the lot's quarantine."),
        new("holds: taken home against a checkout of the same lot", "hold",
            """
            select 0 as rule, l.code || ' / ' || r.number as who, h.mg as a, 0::bigint as b, 0::bigint as c
            from hold h join lot l on l.id = h.lot_id join hold_request r on r.id = h.request_id left join checkout c on c.hold_id = h.id
            where (h.state = 'TakenHome') <> (c.id is not null) or c.lot_id <> h.lot_id
            """,
            "Lot / request {0}: the hold of {1} mg and its checkout do not fit each other."),
        new("bags: unsorted, and what came in, as the movements say", "bag",
            """
            with books as materialized (
                select d.number || ' / ' || b.ordinal as bag, b.unsorted_mg, coalesce(m.unsorted, 0) as unsorted, coalesce(m.given, 0) as given,
                    case when d.decision = 'DeclinedAtTheDoor' then 0 else b.gross_mg - b.tare_mg end as net
                from bag b join donation d on d.id = b.donation_id
                left join (
                    select bag, sum(unsorted) as unsorted, sum(given) as given from (
                        select to_id as bag, mg as unsorted, case when from_kind = 'Donor' then mg else 0 end as given from movement where to_kind = 'Bag'
                        union all
                        select from_id, -mg, 0 from movement where from_kind = 'Bag') x
                    group by bag) m on m.bag = b.id)
            select 0 as rule, bag as who, unsorted_mg as a, unsorted::bigint as b, 0::bigint as c from books where unsorted_mg <> unsorted
            union all
            select 1, bag, net, given::bigint, 0 from books where net <> given
            """,
            "Bag {0}: the table has {1} mg unsorted, the movements {2} mg.",
            "Bag {0}: {1} mg came in, booked from the donor are {2} mg."),
        new("checkouts: taken, brought back and at home as the movements say", "checkout",
            """
            with books as materialized (
                select l.code, c.at_home_mg, c.taken_mg, c.closed_at, coalesce(m.home, 0) as home, coalesce(m.taken, 0) as taken, coalesce(m.back, 0) as back, coalesce(r.mg, 0) as returned
                from checkout c join lot l on l.id = c.lot_id
                left join (
                    select checkout_id, sum(case when to_kind = 'Member' then mg else 0 end - case when from_kind = 'Member' then mg else 0 end) as home,
                        sum(mg) filter (where reason = 'HandedOver') as taken, sum(mg) filter (where reason = 'Returned') as back
                    from movement where checkout_id is not null group by checkout_id) m on m.checkout_id = c.id
                left join (select checkout_id, sum(mg) as mg from lot_return group by checkout_id) r on r.checkout_id = c.id)
            select 0 as rule, code as who, at_home_mg as a, home::bigint as b, 0::bigint as c from books where at_home_mg <> home
            union all
            select 1, code, taken_mg, taken::bigint, 0 from books where taken_mg <> taken
            union all
            select 2, code, returned::bigint, back::bigint, 0 from books where returned <> back
            union all
            select 3, code, at_home_mg, 0, 0 from books where closed_at is not null and at_home_mg <> 0
            """,
            "A checkout of lot {0}: the table has {1} mg at home, the movements {2} mg.",
            "A checkout of lot {0}: {1} mg were taken, the movements say {2} mg.",
            "A checkout of lot {0}: {1} mg were brought back, the movements say {2} mg.",
            "A checkout of lot {0} is closed with {1} mg still at home."),
        new("movements: between places that exist, and all together nothing lost", "movement",
            """
            with place as materialized (
                select kind, id, sum(mg) as mg from (
                    select to_kind as kind, to_id as id, mg from movement
                    union all
                    select from_kind, from_id, -mg from movement) x
                group by kind, id)
            select 0 as rule, p.kind as who, p.mg::bigint as a, 0::bigint as b, 0::bigint as c
            from place p
            where not case
                when p.kind in ('Bin', 'Quarantine') then exists (select 1 from bin where bin.id = p.id)
                when p.kind = 'Bag' then exists (select 1 from bag where bag.id = p.id)
                when p.kind = 'Member' then exists (select 1 from person where person.id = p.id)
                when p.kind = 'Donor' then exists (select 1 from donation where donation.id = p.id)
                when p.kind = 'Project' then exists (select 1 from project where project.id = p.id)
                when p.kind = 'Relotted' then exists (select 1 from lot_transfer where lot_transfer.id = p.id)
                else p.id is null end
            union all
            select 1, '', k.kept, o.out, 0
            from (select (select coalesce(sum(on_hand_mg), 0) from lot) + (select coalesce(sum(unsorted_mg), 0) from bag) + (select coalesce(sum(at_home_mg), 0) from checkout) as kept) k,
                (select coalesce(-sum(mg), 0)::bigint as out from place where kind not in ('Bin', 'Quarantine', 'Bag', 'Member')) o
            where k.kept <> o.out
            """,
            "A movement names a place of the kind {0} that does not exist ({1} mg).",
            "Room, bags and homes together have {1} mg by the tables; {2} mg came in and did not go out."),
        SecondPersonQuestion.Is,
        new("splits and merges: what left one lot came into the other, and merges with a second person", "lot_transfer",
            """
            with books as materialized (
                select t.id, f.code || ' / ' || o.code as who, t.mg, t.kind, t.approval_id, coalesce(m.gone, 0)::bigint as gone, coalesce(m.come, 0)::bigint as come
                from lot_transfer t join lot f on f.id = t.from_lot_id join lot o on o.id = t.to_lot_id
                left join (
                    select t.id,
                        sum(m.mg) filter (where m.to_kind = 'Relotted' and m.to_id = t.id and m.lot_id = t.from_lot_id) as gone,
                        sum(m.mg) filter (where m.from_kind = 'Relotted' and m.from_id = t.id and m.lot_id = t.to_lot_id) as come
                    from lot_transfer t join movement m on m.lot_id in (t.from_lot_id, t.to_lot_id) and (m.to_id = t.id or m.from_id = t.id)
                    group by t.id) m on m.id = t.id)
            select 0 as rule, who, mg as a, gone as b, come as c from books where gone <> mg or come <> mg
            union all
            select 1, b.who, b.mg, 0, 0 from books b left join approval a on a.id = b.approval_id and a.kind = 'Merge' and a.state = 'Approved'
            where b.kind = 'Merge' and a.id is null
            union all
            select 2, l.code, l.on_hand_mg, 0, 0 from lot l
            where l.merged_into_id is not null
                and not exists (select 1 from lot_transfer t where t.from_lot_id = l.id and t.to_lot_id = l.merged_into_id and t.kind <> 'Split')
            """,
            "Lots {0}: {1} mg should have changed lots; {2} mg left the one and {3} mg came into the other.",
            "Lots {0}: {1} mg were merged without a second person.",
            "Lot {0} says that it went into another lot, and nothing of it did."),
        new("counts: what was found is in the books, and no more than its tolerance without a second person", "bin_count",
            """
            select 0 as rule, l.code as who, m.mg as a, n.tolerance_mg as b, 0::bigint as c
            from movement m
            join bin_count_line n on n.count_id = m.count_id and n.lot_id = m.lot_id
            join lot l on l.id = m.lot_id
            left join approval a on a.id = m.approval_id and a.kind = 'CountDifference' and a.state = 'Approved'
            where a.id is null and m.mg > n.tolerance_mg
            union all
            select 1, l.code, n.found_mg - n.book_mg, coalesce(m.mg, 0)::bigint, 0
            from bin_count_line n
            join lot l on l.id = n.lot_id
            left join (
                select count_id, lot_id, sum(case when to_kind in ('Bin', 'Quarantine') then mg else -mg end) as mg
                from movement where count_id is not null group by count_id, lot_id) m on m.count_id = n.count_id and m.lot_id = n.lot_id
            where (n.outcome in ('Booked', 'Approved') and n.found_mg - n.book_mg <> coalesce(m.mg, 0)) or (n.outcome not in ('Booked', 'Approved') and m.mg is not null)
            """,
            "Lot {0}: a count booked {1} mg, more than its tolerance of {2} mg, without a second person.",
            "Lot {0}: a count found a difference of {1} mg, booked are {2} mg."),
        Numbers("donation numbers: no gap", "donation", "donation", "D"),
        Numbers("request numbers: no gap", "hold_request", "request", "R"),
    ];

    private static AuditQuestion Numbers(string what, string table, string series, string letter) => new(
        what,
        table,
        $"""
        select 0 as rule, w.number as who, 0::bigint as a, 0::bigint as b, 0::bigint as c
        from (
            select '{letter}-' || lpad(c.year::text, 4, '0') || '-' || case when n < 10000 then lpad(n::text, 4, '0') else n::text end as number
            from number_counter c, generate_series(1, c.last) n where c.series = '{series}') w
        left join {table} t on t.number = w.number where t.number is null
        union all
        select 1, t.number, c.last, 0, 0
        from {table} t left join number_counter c on c.series = '{series}' and c.year = substring(t.number from '^{letter}-(\d+)-\d+$')::int
        where c.last is null or substring(t.number from '^{letter}-\d+-(\d+)$')::bigint > c.last
        """,
        "Number {0} was given and is missing.",
        "Number {0} is beyond the last number given, {1}.");
}
