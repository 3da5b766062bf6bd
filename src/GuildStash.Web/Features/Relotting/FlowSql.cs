using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Relotting;

/// <summary>The two questions that a history asks of the books; their answers grow with the lots shown, not with the movements.</summary>
internal static class FlowSql
{
    /// <summary>One sum of movements.</summary>
    internal sealed record Row(
        Guid? LotId, int Stage, string FromKind, string ToKind, string Reason, Guid? BagId, Guid? ProjectId, Guid? TransferId, bool IsUndone,
        Guid? HomeLotId, int HomeStage, long Mg, int Times, DateTimeOffset First, DateTimeOffset Last);

    /// <summary>These lots and all that splits and merges connect them with, the nearest first; no more are walked to than are asked for.</summary>
    public static Task<List<Guid>> KinAsync(Act act, Guid[] lots, int most) => act.Db.Database.SqlQuery<Guid>(
        $"""
         with recursive kin as (
             select unnest({lots}) as id
             union
             select case when t.from_lot_id = k.id then t.to_lot_id else t.from_lot_id end
             from kin k join lot_transfer t on t.from_lot_id = k.id or t.to_lot_id = k.id)
         select id as "Value" from kin limit {most}
         """).ToListAsync(act.Cancellation);

    /// <summary>
    /// Movements of the lots added up by stage and ways: a lot's stage begins with each merge into it. Of the bags, also what went to no lot or
    /// to lots that are not shown; moves from bin to bin are left out.
    /// </summary>
    public static Task<List<Row>> EntriesAsync(Act act, Guid[] lots, Guid[] bags) => act.Db.Database.SqlQuery<Row>(
        $"""
         with own as (
             select m.*, lag(m.approval_id) over (partition by m.lot_id order by m.sequence) as before
             from movement m where m.lot_id = any({lots})),
         staged as materialized (
             select o.*, (sum(case when o.reason = 'Merged' and o.from_kind = 'Relotted' and o.before is distinct from o.approval_id then 1 else 0 end)
                 over (partition by o.lot_id order by o.sequence))::int as stage
             from own o),
         taken as (select distinct on (checkout_id) checkout_id, lot_id, stage from staged where reason = 'HandedOver' order by checkout_id, sequence),
         ways as (
             select s.lot_id, s.stage, s.from_kind, s.to_kind, s.reason, s.mg, s.at, s.sequence,
                 case when s.from_kind = 'Bag' then s.from_id when s.to_kind = 'Bag' then s.to_id end as bag_id,
                 case when s.to_kind = 'Project' then s.to_id end as project_id,
                 t.id as transfer_id,
                 coalesce(t.kind = 'SplitUndone' or exists (select 1 from lot_transfer u where u.undoes_id = t.id), false) as is_undone,
                 h.lot_id as home_lot_id, coalesce(h.stage, 0) as home_stage
             from staged s
             left join lot_transfer t on t.id = case when s.from_kind = 'Relotted' then s.from_id when s.to_kind = 'Relotted' then s.to_id end
                 and t.from_lot_id = any({lots}) and t.to_lot_id = any({lots})
             left join taken h on h.checkout_id = s.checkout_id
             where not (s.from_kind in ('Bin', 'Quarantine') and s.to_kind in ('Bin', 'Quarantine'))
             union all
             select null, 0, m.from_kind, m.to_kind, m.reason, m.mg, m.at, m.sequence,
                 case when m.to_kind = 'Bag' then m.to_id else m.from_id end, null, null, false, null, 0
             from movement m
             where m.bag_id = any({bags}) and (m.from_kind = 'Bag' or m.to_kind = 'Bag') and (m.lot_id is null or m.lot_id <> all({lots})))
         select lot_id, stage, from_kind, to_kind, reason, bag_id, project_id, transfer_id, is_undone, home_lot_id, home_stage,
             sum(mg)::bigint as mg, count(*)::int as times, min(at) as first, max(at) as last
         from ways
         group by lot_id, stage, from_kind, to_kind, reason, bag_id, project_id, transfer_id, is_undone, home_lot_id, home_stage
         order by min(sequence)
         """).ToListAsync(act.Cancellation);
}
