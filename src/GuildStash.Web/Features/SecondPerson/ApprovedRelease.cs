using GuildStash.Data.Approvals;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.SecondPerson;

/// <summary>Releases a bag with its lots, or a lot, from quarantine once a second person approved.</summary>
internal sealed class ApprovedRelease : IApprovedChange
{
    public ApprovalKind Kind => ApprovalKind.QuarantineRelease;

    public Phrase Sentence(Approval approval) => approval.Read<QuarantineReleaseRequest>().Sentence();

    public string Note(Approval approval) => approval.Read<QuarantineReleaseRequest>().Note;

    public async Task<IReadOnlyDictionary<Guid, IReadOnlyList<Phrase>>> SinceAsync(Act act, IReadOnlyList<Approval> waiting)
    {
        Guid[] bags = [.. waiting.Select(a => a.BagId).OfType<Guid>()];
        Guid[] single = [.. waiting.Where(a => a.BagId is null).SelectMany(a => a.Lots).Select(l => l.LotId)];
        var lots = await act.Db.Lots
            .Where(l => (bags.Contains(l.BagId) || single.Contains(l.Id)) && l.QuarantineReason != null && l.ClosedAt == null)
            .Select(l => new { l.Id, l.BagId, Mg = l.OnHandMg - act.Db.LotReturns.Where(r => r.LotId == l.Id && r.SettledAt == null).Sum(r => r.Mg) })
            .ToListAsync(act.Cancellation);
        return waiting.ToDictionary(a => a.Id, a =>
        {
            var own = lots.Where(l => a.BagId is { } bag ? l.BagId == bag : a.Lots.Any(x => x.LotId == l.Id)).ToList();
            return a.Read<QuarantineReleaseRequest>().Since(own.Count, own.Sum(l => l.Mg));
        });
    }

    public async Task<Outcome<Phrase>> ApplyAsync(Act act, Approval approval)
    {
        QuarantineReleaseRequest request = approval.Read<QuarantineReleaseRequest>();
        Outcome<Bin> target = await BinFinder.OpenShelfAsync(act, request.BinCode, "binCode");
        if (!target.IsOk)
        {
            return Outcome<Phrase>.Refused(target.Refusals);
        }

        Outcome<Quarantined> found = await Quarantined.TakeAsync(act, approval.BagId, approval.BagId is null ? approval.Lots[0].LotId : null);
        if (!found.IsOk)
        {
            return Outcome<Phrase>.Refused(found.Refusals);
        }

        Quarantined apart = found.Value;
        if (apart.Bag is { } bag)
        {
            bag.QuarantineReason = null;
            bag.QuarantinedAt = null;
            bag.InspectedAt = approval.AskedAt;
            bag.InspectedById = approval.AskedById;
            bag.InspectionNote = request.Note;
            bag.Version++;
            await act.Db.SaveChangesAsync(act.Cancellation);
        }

        foreach (Lot lot in apart.Lots)
        {
            await ReleaseAsync(act, lot, apart.InBin[lot.Id], target.Value, approval, request.Note);
        }

        string bin = BinCode.Parse(target.Value.Code).Value.Display;
        return apart switch
        {
            { Bag: null } => new Phrase("Lot {0} is released. Carry it to bin {1}.", approval.Subject, bin),
            { Lots.Count: 0 } => new Phrase("Bag {0} is released. It may be sorted into open bins.", approval.Subject),
            { Lots.Count: 1 } => new Phrase("Bag {0} is released. Carry 1 lot of it ({1}) to bin {2}.", approval.Subject, Mass.FromMilligrams(apart.Mg), bin),
            _ => new Phrase("Bag {0} is released. Carry {1} of its lots ({2}) to bin {3}.", approval.Subject, apart.Lots.Count, Mass.FromMilligrams(apart.Mg), bin),
        };
    }

    private static async Task ReleaseAsync(Act act, Lot lot, long mg, Bin target, Approval approval, string note)
    {
        if (mg > 0)
        {
            MovementDraft draft = MovementDraft.Create(Place.Bin(lot.BinId, true), Place.Bin(target.Id, false), mg, MovementReason.Released);
            act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now, note, approvalId: approval.Id));
        }

        lot.BinId = target.Id;
        lot.QuarantineReason = null;
        lot.QuarantinedAt = null;
        lot.ChangedAt = act.Now;
        lot.ChangedById = act.By.Id;
        lot.Version++;
        await act.Db.SaveChangesAsync(act.Cancellation);
    }
}
