using GuildStash.Domain.Approvals;
using GuildStash.Domain.People;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Home;

/// <summary>
/// The lists of the start page as one statement: each is cut off at its first lines and knows how long the whole is. Written out,
/// since a query for each list, or one that joins them, would cost a multiple.
/// </summary>
internal static class HomeSql
{
    /// <param name="nobodys">Requests of kits that nobody makes yet, whose yarn is in nobody's own name.</param>
    public static FormattableString For(Act act, DateOnly today, Guid[] nobodys)
    {
        bool room = act.By.Role >= Role.Volunteer;
        bool plans = act.By.Role >= Role.Coordinator;
        bool invites = act.By.Role == Role.Administrator;
        Guid me = act.By.Id;
        DateTimeOffset now = act.Now;
        DateTimeOffset lapsing = now.AddDays(HomeReader.LapsingDays);
        DateTimeOffset oldWanted = now.AddDays(-HomeReader.OldWantedDays);
        DateTimeOffset interrupted = now.AddDays(-HomeReader.InterruptedDays);
        DateOnly due = today.AddDays(HomeReader.DueDays);
        int shown = HomeReader.Shown;
        string[] ofVolunteers = Kinds(act.By.Role, Role.Volunteer);
        string[] ofCoordinators = Kinds(act.By.Role, Role.Coordinator);
        return $"""
            with line as (
            -- code: the bag's number; mg: what is left in it; day: when it came
            select 'Sort' as section, b.id, d.number || '/' || b.ordinal as code, '' as name, '' as about,
                b.unsorted_mg as mg, 0::bigint as number, null::timestamptz as at, d.received_on as day, row_number() over (order by d.received_on, d.number, b.ordinal) as place
            from bag b join donation d on d.id = b.donation_id
            where {room} and b.closed_at is null and b.quarantine_reason is null
            union all
            -- id: the gift; about: why it is kept apart
            select 'Inspect', d.id, d.number || '/' || b.ordinal, '', b.quarantine_reason,
                b.gross_mg - b.tare_mg, 0, null, d.received_on, row_number() over (order by d.received_on, d.number, b.ordinal)
            from bag b join donation d on d.id = b.donation_id
            where {room} and b.closed_at is null and b.quarantine_reason is not null
            union all
            -- id: the gift; number: lots of the bag that are kept apart
            select 'LotsApart', d.id, d.number || '/' || b.ordinal, '', min(l.quarantine_reason),
                sum(l.quarantined_mg)::bigint, count(*), min(l.created_at), null, row_number() over (order by min(l.created_at), d.number, b.ordinal)
            from lot l join bag b on b.id = l.bag_id join donation d on d.id = b.donation_id
            where {room} and l.closed_at is null and l.quarantine_reason is not null and l.quarantine_reason <> 'ReturnNotInspected'
                and (b.quarantine_reason is null or b.closed_at is not null)
            group by d.id, d.number, b.ordinal
            union all
            -- code: the lot's; name: who brought it back
            select 'Returns', r.id, l.code, p.display_name, '', r.mg, 0, r.created_at, null, row_number() over (order by r.created_at, r.id)
            from lot_return r join lot l on l.id = r.lot_id join checkout c on c.id = r.checkout_id join person p on p.id = c.member_id
            where {room} and r.settled_at is null
            union all
            -- code: the request's number, or the kit's where nobody makes it yet; name: whose, empty where nobody's; about: the project; number: lots; at: when it was made, or when the first of it lapses
            select which.section, r.id, coalesce(k.number, r.number), case when k.id is null then p.display_name else '' end, coalesce(j.name, ''), sum(h.mg)::bigint, count(*),
                case which.section when 'Prepare' then r.created_at else min(h.expires_at) end, null,
                row_number() over (partition by which.section order by case which.section when 'Prepare' then r.created_at else min(h.expires_at) end, r.number)
            from hold h join hold_request r on r.id = h.request_id join person p on p.id = r.member_id left join project j on j.id = r.project_id
                left join kit k on k.request_id = r.id and r.id = any({nobodys})
                cross join (values ('Prepare'), ('Lapsing'), ('MyHolds')) as which (section)
            where h.state = 'Active' and h.expires_at > {now}
                and case which.section
                    when 'Prepare' then {room}
                    when 'Lapsing' then {room} and (k.id is not null or r.member_id <> {me}) and h.expires_at <= {lapsing}
                    else k.id is null and r.member_id = {me} and h.expires_at <= {lapsing} end
            group by which.section, r.id, r.number, r.created_at, p.display_name, j.name, k.id, k.number
            union all
            -- id: the checkout; code: the lot's; name: who has it; about: the project; at: since when; day: when it is due
            select which.section, c.id, l.code, p.display_name, coalesce(j.name, ''), c.at_home_mg, 0, c.created_at, c.due_on,
                row_number() over (partition by which.section order by c.due_on, c.id)
            from checkout c join lot l on l.id = c.lot_id join person p on p.id = c.member_id left join project j on j.id = c.project_id
                cross join (values ('Late'), ('MyYarn')) as which (section)
            where c.closed_at is null
                and case which.section
                    when 'Late' then {room} and c.member_id <> {me} and c.due_on < {today}
                    else c.member_id = {me} and c.due_on <= {due} end
            union all
            -- name: the project; about: its recipient; number: pieces wanted; day: its deadline
            select 'Projects', j.id, '', j.name, j.recipient, 0, coalesce((select sum(w.wanted) from wanted_piece w where w.project_id = j.id), 0), null, j.deadline,
                row_number() over (order by j.deadline nulls last, j.name, j.id)
            from project j
            where not {room} and j.closed_at is null
            union all
            -- name: for whom; about: the role; at: until when the link holds
            select 'Invitations', i.id, '', i.note, i.role, 0, 0, i.expires_at, null, row_number() over (order by i.expires_at, i.id)
            from invitation i
            where {invites} and i.used_at is null and i.withdrawn_at is null and i.expires_at > {now}
            union all
            -- code: what it is about; name: who asked; about: the kind; at: since when
            select 'SecondPerson', a.id, a.subject, p.display_name, a.kind, a.mg, 0, a.asked_at, null, row_number() over (order by a.asked_at, a.id)
            from approval a join person p on p.id = a.asked_by_id cross join guild g
            where {room} and a.state = 'Waiting'
                and (a.kind = any({ofVolunteers}) or (a.kind = any({ofCoordinators}) and a.asked_as in ('Coordinator', 'Administrator')))
                and (a.asked_by_id <> {me} or (g.delayed_review_is_on and a.asked_at + g.delayed_review_hours * interval '1 hour' <= {now}))
            union all
            -- code: the plan's number; about: whether the wanted yarn is old or the plan was interrupted; number: 1 with an answer; at: when it was reckoned or interrupted
            select 'Plans', f.id, f.number, f.name, f.about, 0, f.answered, f.at, null, row_number() over (order by f.about desc, f.at desc, f.number)
            from (
                (select p.id, p.number, p.name, {HomeReader.OldWanted} as about, 1 as answered, coalesce(p.started_at, p.created_at) as at
                from plan p
                where p.purpose = 'Wanted' and p.answer is not null and p.state not in ('Waiting', 'Running')
                order by p.created_at desc, p.id desc limit 1)
                union all
                select p.id, p.number, p.name, 'Interrupted', case when p.answer is null then 0 else 1 end, p.ended_at
                from plan p
                where p.state = 'Interrupted' and p.accepted_at is null and p.ended_at > {interrupted}
                    and not exists (select 1 from plan n where n.purpose = p.purpose and n.project_id is not distinct from p.project_id and n.created_at > p.created_at)) as f
            where {plans}
                and (f.about = 'Interrupted' or (f.at <= {oldWanted}
                    and not exists (select 1 from plan n where n.purpose = 'Wanted' and n.state in ('Waiting', 'Running'))
                    and exists (select 1 from wanted_piece w join project j on j.id = w.project_id where w.piece_id is not null and j.closed_at is null)))
            union all
            -- about: the step; none any more once a bag was sorted to its end
            select 'FirstSteps', s.id, '', '', s.about, 0, 0, null, null, row_number() over (order by s.id)
            from (values
                ('00000000-0000-0000-0000-000000000001'::uuid, {HomeReader.MakeBins}, not exists (select 1 from bin where kind = 'Shelf')),
                ('00000000-0000-0000-0000-000000000002'::uuid, {HomeReader.PrintLabels}, not exists (select 1 from lot)),
                ('00000000-0000-0000-0000-000000000003'::uuid, {HomeReader.InvitePeople}, {invites} and not exists (select 1 from person where id <> {me}) and not exists (select 1 from invitation where withdrawn_at is null)),
                ('00000000-0000-0000-0000-000000000004'::uuid, {HomeReader.FillPieceBook}, not exists (select 1 from piece))) as s (id, about, is_open)
            where {plans} and s.is_open and not exists (select 1 from bag b where b.closed_at is not null and exists (select 1 from lot l where l.bag_id = b.id)))
            select * from (select line.*, count(*) over (partition by section) as total from line) as counted where place <= {shown}
            """;
    }

    private static string[] Kinds(Role role, Role askedAs) => [.. ApprovalRights.DecidedBy(role, askedAs).Select(kind => kind.ToString())];
}
