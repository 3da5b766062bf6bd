using GuildStash.Data.Approvals;
using GuildStash.Data.Counting;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Sorting;

/// <summary>Books the difference of a new weight, or of a bag whose lots weigh more than it did, once a second person approved, on what the books have then.</summary>
internal sealed class ApprovedWeighing : IApprovedChange
{
    private static readonly MovementReason[] Corrections = [MovementReason.WeighingDifference, MovementReason.Counted, MovementReason.GoneMissing];

    public ApprovalKind Kind => ApprovalKind.Weighing;

    public Phrase Sentence(Approval approval) => approval.BagId is null ? approval.Read<WeighingRequest>().Sentence() : approval.Read<BagSurplusRequest>().Sentence();

    public string Note(Approval approval) => approval.BagId is null ? "" : approval.Read<BagSurplusRequest>().Reason;

    public async Task<IReadOnlyDictionary<Guid, IReadOnlyList<Phrase>>> SinceAsync(Act act, IReadOnlyList<Approval> waiting)
    {
        Guid[] lotIds = [.. waiting.SelectMany(a => a.Lots).Select(l => l.LotId)];
        List<Lot> lots = await act.Db.Lots.AsNoTracking().Where(l => lotIds.Contains(l.Id)).ToListAsync(act.Cancellation);
        IReadOnlyDictionary<Guid, long> books = await LotPlace.InOwnBinMgAsync(act, lots);
        Guid[] bagIds = [.. waiting.Select(a => a.BagId).OfType<Guid>()];
        Dictionary<Guid, long> unsorted = bagIds.Length == 0 ? [] : await act.Db.Bags.Where(b => bagIds.Contains(b.Id)).ToDictionaryAsync(b => b.Id, b => b.UnsortedMg, act.Cancellation);
        return waiting.ToDictionary(a => a.Id, IReadOnlyList<Phrase> (a) =>
            (a.BagId is { } bag
                ? a.Read<BagSurplusRequest>().Since(Math.Max(0, -unsorted.GetValueOrDefault(bag)))
                : a.Read<WeighingRequest>().Since(books.GetValueOrDefault(a.Lots[0].LotId))) is { } since ? [since] : []);
    }

    public Task<Outcome<Phrase>> ApplyAsync(Act act, Approval approval) =>
        approval.BagId is { } bag ? CloseAsync(act, approval, bag) : WeighAsync(act, approval);

    private static async Task<Outcome<Phrase>> CloseAsync(Act act, Approval approval, Guid bagId)
    {
        Outcome<long> surplus = await CloseBag.TakeSurplusAsync(act, bagId, approval.Read<BagSurplusRequest>().Reason, approval.Id);
        return surplus.IsOk
            ? new Phrase("Bag {0} is closed; {1} were booked as weighing error.", approval.Subject, Mass.FromMilligrams(surplus.Value))
            : Outcome<Phrase>.Refused(surplus.Refusals);
    }

    private static async Task<Outcome<Phrase>> WeighAsync(Act act, Approval approval)
    {
        WeighingRequest asked = approval.Read<WeighingRequest>();
        Lot lot = (await LotLock.TakeAsync(act.Db, approval.Lots[0].LotId, act.Cancellation))!;
        long book = await LotPlace.InOwnBinMgAsync(act, lot);
        long left = book + asked.DifferenceMg;
        if (lot.ClosedAt is not null || left <= 0)
        {
            return Refusal.Conflict("not-enough-in-bin", "Lot {0} has {1} in its bin now, so a difference of {2} can't be booked. Decline this and weigh it again.",
                asked.Display, Mass.FromMilligrams(book), Mass.FromMilligrams(asked.DifferenceMg));
        }

        // By the order of writing: what began before the request may be booked after it.
        (long? upTo, DateTimeOffset askedAt) = (asked.UpTo, approval.AskedAt);
        if (await act.Db.Movements.AnyAsync(
            m => m.LotId == lot.Id && (upTo != null ? m.Sequence > upTo : m.At > askedAt) && (Corrections.Contains(m.Reason) || m.ToKind == PlaceKind.Lost), act.Cancellation))
        {
            return Refusal.Conflict("weighed-since", "Lot {0} was weighed or counted again since this was asked for. Decline this and go by the later weight.", asked.Display);
        }

        if (WeighLot.MayWeigh(lot, left) is { } refusal)
        {
            return refusal;
        }

        Scale? scale = await act.Db.Scales.SingleOrDefaultAsync(s => s.Id == asked.ScaleId, act.Cancellation);
        await WeighLot.BookAsync(act, lot, asked with { BookMg = book, ShownMg = left }, scale, Place.Adjustment, approval.Id);
        return new Phrase("Lot {0} has {1} in its bin now.", asked.Display, Mass.FromMilligrams(left));
    }
}
