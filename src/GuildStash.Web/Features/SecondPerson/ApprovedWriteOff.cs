using GuildStash.Data.Approvals;
using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.SecondPerson;

/// <summary>Writes off grams of a lot, or throws a bag or leftovers away, once a second person approved.</summary>
internal sealed class ApprovedWriteOff : IApprovedChange
{
    public ApprovalKind Kind => ApprovalKind.WriteOff;

    public Phrase Sentence(Approval approval) => approval.Read<WriteOffRequest>().Sentence();

    public string Note(Approval approval) => approval.Read<WriteOffRequest>().Reason;

    public async Task<IReadOnlyDictionary<Guid, IReadOnlyList<Phrase>>> SinceAsync(Act act, IReadOnlyList<Approval> waiting)
    {
        Guid[] bagIds = [.. waiting.Select(a => a.BagId).OfType<Guid>()];
        Guid[] lotIds = [.. waiting.Where(a => a.BagId is null).SelectMany(a => a.Lots).Select(l => l.LotId)];
        List<Lot> lots = await act.Db.Lots.AsNoTracking().Where(l => lotIds.Contains(l.Id)).ToListAsync(act.Cancellation);
        IReadOnlyDictionary<Guid, long> inBin = await LotPlace.InOwnBinMgAsync(act, lots);
        Dictionary<Guid, long> inBags = bagIds.Length == 0 ? [] : await BagContents.LeftMgAsync(act, bagIds);
        Guid[] returnIds = [.. waiting.Select(a => a.Read<WriteOffRequest>().ReturnId).OfType<Guid>()];
        Dictionary<Guid, long> returns = returnIds.Length == 0
            ? []
            : await act.Db.LotReturns.Where(r => returnIds.Contains(r.Id) && r.SettledAt == null).ToDictionaryAsync(r => r.Id, r => r.Mg, act.Cancellation);
        Dictionary<Guid, long> unsorted = bagIds.Length == 0 ? [] : await act.Db.Bags.Where(b => bagIds.Contains(b.Id)).ToDictionaryAsync(b => b.Id, b => b.UnsortedMg, act.Cancellation);
        return waiting.ToDictionary(a => a.Id, a =>
        {
            WriteOffRequest request = a.Read<WriteOffRequest>();
            long now = request.ReturnId is { } back ? returns.GetValueOrDefault(back)
                : a.BagId is not { } bag ? inBin.GetValueOrDefault(a.Lots[0].LotId)
                : (request.To == WriteOffTo.Lost ? unsorted : inBags).GetValueOrDefault(bag);
            return request.Since(now) is { } since ? (IReadOnlyList<Phrase>)[since] : [];
        });
    }

    public async Task<Outcome<Phrase>> ApplyAsync(Act act, Approval approval)
    {
        WriteOffRequest request = approval.Read<WriteOffRequest>();
        if (approval is { BagId: { } sorted } && request.To == WriteOffTo.Lost)
        {
            Outcome<long> lost = await CloseBag.LoseRestAsync(act, sorted, request.Reason, approval.Id);
            return lost.IsOk
                ? new Phrase("Bag {0} is closed; {1} are booked as lost.", approval.Subject, Mass.FromMilligrams(Math.Max(0, lost.Value)))
                : Outcome<Phrase>.Refused(lost.Refusals);
        }

        if (approval.BagId is { } bagId)
        {
            Outcome<long> thrown = await DiscardBag.ThrowAwayAsync(act, bagId, request.Reason, approval.Id);
            return thrown.IsOk
                ? new Phrase("Bag {0} is closed; {1} went to waste.", approval.Subject, Mass.FromMilligrams(thrown.Value))
                : Outcome<Phrase>.Refused(thrown.Refusals);
        }

        if (request.ReturnId is { } returnId)
        {
            Outcome<long> thrown = await InspectReturn.ApprovedAsync(act, approval.Lots[0].LotId, returnId, approval.Id);
            return thrown.IsOk
                ? new Phrase("{0} of lot {1} that came back went to waste.", Mass.FromMilligrams(thrown.Value), approval.Subject)
                : Outcome<Phrase>.Refused(thrown.Refusals);
        }

        Outcome<long> left = await WriteOffLot.BookAsync(act, approval.Lots[0].LotId, request.Mg, request.To, request.Reason, approval.Id);
        return left.IsOk
            ? new Phrase("{0} of lot {1} are written off; {2} are left in its bin.", Mass.FromMilligrams(request.Mg), approval.Subject, Mass.FromMilligrams(left.Value))
            : Outcome<Phrase>.Refused(left.Refusals);
    }
}
