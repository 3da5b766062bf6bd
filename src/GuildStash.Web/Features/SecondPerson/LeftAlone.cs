using GuildStash.Data.Ledger;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.SecondPerson;

/// <summary>
/// What left the books lately without a second person: of lots and of all that splits and merges connect them with, so that a lot that is
/// split first does not leave in small steps. The audit asks the same (<see cref="BookAudit"/>).
/// </summary>
internal static class LeftAlone
{
    /// <summary>Lots that are walked to, the nearest first. A judgement: nobody splits a bag that often.</summary>
    private const int MostKin = 1000;

    /// <summary>Takes lots and their kin out of everybody else's hands, so that two people can't take from two of them at once.</summary>
    /// <returns>Keys of them all; to be called before a single lot is locked, since locks are taken in the order of the keys.</returns>
    public static async Task<IReadOnlyCollection<Guid>> LockKinAsync(Act act, params Guid[] lotIds)
    {
        HashSet<Guid> locked = [];
        while (true)
        {
            List<Guid> kin = await FlowSql.KinAsync(act, lotIds, MostKin);
            if (kin.All(locked.Contains))
            {
                return locked;
            }

            // A split that came between the question and the lock brings another lot; then it is asked once more.
            Guid[] all = [.. kin];
            await act.Db.Database.ExecuteSqlAsync(
                $"with locked as (select id from lot where id = any({all}) order by id for no key update) select count(*) from locked", act.Cancellation);
            locked.UnionWith(all);
        }
    }

    /// <summary>Milligrams that left these lots within <see cref="WriteOffRules.TogetherDays"/>; what stays shut may leave at once and does not count.</summary>
    public static async Task<long> MgAsync(Act act, IReadOnlyCollection<Guid> kin)
    {
        DateTimeOffset since = act.Now.AddDays(-WriteOffRules.TogetherDays);
        const Conditions shut = Conditions.Mould | Conditions.Insects;
        IQueryable<Movement> alone = act.Db.Movements.Where(m => m.LotId != null && kin.Contains(m.LotId.Value) && m.ApprovalId == null && m.At >= since);
        return await alone.Where(m => m.Reason == MovementReason.WrittenOff).SumAsync(m => m.Mg, act.Cancellation)
            + await alone.Where(m => m.Reason == MovementReason.Discarded
                && act.Db.Lots.Any(l => l.Id == m.LotId && ((l.Conditions | l.Bag.Conditions) & shut) == Conditions.None)
                && !act.Db.LotReturns.Any(r => r.LotId == m.LotId && r.Mg == m.Mg && r.SettledAt == m.At && (r.Conditions!.Value & shut) != Conditions.None)).SumAsync(m => m.Mg, act.Cancellation)

            // A whole lot that is handed over books what the scale shows less than the books, within the guild's weighing tolerance.
            + await alone.Where(m => m.Reason == MovementReason.WeighingDifference && m.ToKind == PlaceKind.Adjustment
                && !act.Db.Movements.Any(h => h.LotId == m.LotId && h.Reason == MovementReason.HandedOver && h.At == m.At)).SumAsync(m => m.Mg, act.Cancellation);
    }
}
