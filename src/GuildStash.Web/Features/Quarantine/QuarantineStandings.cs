using GuildStash.Data.Intake;
using GuildStash.Data.Quarantine;
using GuildStash.Data.Stock;
using GuildStash.Domain.Quarantine;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Quarantine;

/// <summary>Treatment and time of bags and lots in quarantine, as the release rules ask for them.</summary>
internal sealed class QuarantineStandings
{
    private readonly List<FreezerLoad> _loads;
    private readonly ILookup<Guid, Origin> _origins;

    private QuarantineStandings(List<FreezerLoad> loads, List<Origin> origins) => (_loads, _origins) = (loads, origins.ToLookup(o => o.LotId));

    /// <summary>A lot that a part was split off from, also over several splits.</summary>
    /// <param name="LotId">The part.</param>
    /// <param name="Until">When it left; what was done to the origin later is not its own.</param>
    private sealed record Origin(Guid LotId, Guid OriginId, DateTimeOffset Until, DateTimeOffset CreatedAt);

    /// <summary>Two queries for a bag and any number of lots.</summary>
    public static async Task<QuarantineStandings> ReadAsync(Act act, Guid? bagId, IReadOnlyCollection<Lot> lots)
    {
        Guid[] lotIds = [.. lots.Select(l => l.Id)];
        Guid[] bagIds = [.. lots.Select(l => l.BagId).Concat(bagId is { } id ? [id] : []).Distinct()];
        List<Origin> origins = await act.Db.Database.SqlQuery<Origin>(
            $"""
             with recursive line as (
                 select t.to_lot_id as lot_id, t.from_lot_id as origin_id, t.at as until from lot_transfer t where t.kind = 'Split' and t.to_lot_id = any({lotIds})
                 union
                 select l.lot_id, t.from_lot_id, least(l.until, t.at) from line l join lot_transfer t on t.kind = 'Split' and t.to_lot_id = l.origin_id)
             select line.lot_id, line.origin_id, line.until, lot.created_at from line join lot on lot.id = line.origin_id
             """).ToListAsync(act.Cancellation);
        Guid[] frozen = [.. lotIds, .. origins.Select(o => o.OriginId)];
        return new QuarantineStandings(
            await act.Db.FreezerLoads.AsNoTracking().Include(l => l.Run).Where(l => frozen.Contains(l.LotId!.Value) || bagIds.Contains(l.BagId!.Value)).ToListAsync(act.Cancellation),
            origins);
    }

    public QuarantineStanding Of(Bag bag)
    {
        DateTimeOffset since = bag.QuarantinedAt ?? bag.Donation.CreatedAt;
        List<FreezerRun> runs = [.. _loads.Where(l => l.BagId == bag.Id).Select(l => l.Run)];
        return new QuarantineStanding(bag.QuarantineReason!.Value, bag.Conditions, since, Good(runs, since), runs.Any(r => r.FinishedAt is null));
    }

    /// <summary>
    /// A run of its bag counts for a lot that was sorted out of it afterwards; a run of the lot that it was split off from counts where it was
    /// over by then.
    /// </summary>
    public QuarantineStanding Of(Lot lot)
    {
        DateTimeOffset since = lot.QuarantinedAt ?? lot.CreatedAt;
        List<FreezerRun> own = [.. _loads.Where(l => l.LotId == lot.Id).Select(l => l.Run)];
        DateTimeOffset sorted = _origins[lot.Id].Select(o => o.CreatedAt).Append(lot.CreatedAt).Min();
        List<FreezerRun> bags = [.. _loads.Where(l => l.BagId == lot.BagId && l.Run.ThawedAt <= sorted).Select(l => l.Run)];
        List<FreezerRun> inherited = [.. _origins[lot.Id].SelectMany(o => _loads.Where(l => l.LotId == o.OriginId && l.Run.FinishedAt <= o.Until)).Select(l => l.Run)];
        return new QuarantineStanding(lot.QuarantineReason!.Value, lot.Conditions, since, Good([.. own, .. bags, .. inherited], since), own.Any(r => r.FinishedAt is null));
    }

    private static int Good(List<FreezerRun> runs, DateTimeOffset since) => runs.Count(r => r is { MeetsProtocol: true, SignsSeen: false } && r.InAt >= since);
}
