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

    private QuarantineStandings(List<FreezerLoad> loads) => _loads = loads;

    /// <summary>One query for a bag and any number of lots.</summary>
    public static async Task<QuarantineStandings> ReadAsync(Act act, Guid? bagId, IReadOnlyCollection<Lot> lots)
    {
        Guid[] lotIds = [.. lots.Select(l => l.Id)];
        Guid[] bagIds = [.. lots.Select(l => l.BagId).Concat(bagId is { } id ? [id] : []).Distinct()];
        return new QuarantineStandings(await act.Db.FreezerLoads.AsNoTracking().Include(l => l.Run)
            .Where(l => lotIds.Contains(l.LotId!.Value) || bagIds.Contains(l.BagId!.Value)).ToListAsync(act.Cancellation));
    }

    public QuarantineStanding Of(Bag bag)
    {
        DateTimeOffset since = bag.QuarantinedAt ?? bag.Donation.CreatedAt;
        List<FreezerRun> runs = [.. _loads.Where(l => l.BagId == bag.Id).Select(l => l.Run)];
        return new QuarantineStanding(bag.QuarantineReason!.Value, bag.Conditions, since, Good(runs, since), runs.Any(r => r.FinishedAt is null));
    }

    /// <summary>A run of its bag counts for a lot that was sorted out of it afterwards.</summary>
    public QuarantineStanding Of(Lot lot)
    {
        DateTimeOffset since = lot.QuarantinedAt ?? lot.CreatedAt;
        List<FreezerRun> own = [.. _loads.Where(l => l.LotId == lot.Id).Select(l => l.Run)];
        List<FreezerRun> bags = [.. _loads.Where(l => l.BagId == lot.BagId && l.Run.ThawedAt <= lot.CreatedAt).Select(l => l.Run)];
        return new QuarantineStanding(lot.QuarantineReason!.Value, lot.Conditions, since, Good([.. own, .. bags], since), own.Any(r => r.FinishedAt is null));
    }

    private static int Good(List<FreezerRun> runs, DateTimeOffset since) => runs.Count(r => r is { MeetsProtocol: true, SignsSeen: false } && r.InAt >= since);
}
