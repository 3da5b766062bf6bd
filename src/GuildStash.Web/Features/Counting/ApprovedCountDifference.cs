using GuildStash.Data.Approvals;
using GuildStash.Data.Counting;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Counting;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Counting;

/// <summary>Books the differences of a count once a second person approved, on what the books have then.</summary>
internal sealed class ApprovedCountDifference : IApprovedChange
{
    private static readonly CountOutcome[] Results = [CountOutcome.Agrees, CountOutcome.Booked, CountOutcome.Asked, CountOutcome.Approved];

    /// <summary>Of all lots of a request; the latest of a lot is what matters (a judgement).</summary>
    private const int MostCorrections = 500;

    public ApprovalKind Kind => ApprovalKind.CountDifference;

    public Phrase Sentence(Approval approval) => approval.Read<CountDifferenceRequest>().Sentence();

    public string Note(Approval approval) => "";

    public async Task<IReadOnlyDictionary<Guid, IReadOnlyList<Phrase>>> SinceAsync(Act act, IReadOnlyList<Approval> waiting)
    {
        Guid[] lotIds = [.. waiting.SelectMany(a => a.Lots).Select(l => l.LotId)];
        List<Lot> lots = await act.Db.Lots.AsNoTracking().Where(l => lotIds.Contains(l.Id)).ToListAsync(act.Cancellation);
        IReadOnlyDictionary<Guid, long> books = await LotPlace.InOwnBinMgAsync(act, lots);
        List<BinCountLine> later = await LaterAsync(act, lotIds, waiting.Min(a => a.AskedAt));
        List<Correction> corrections = await CorrectionsAsync(act, lotIds, waiting.SelectMany(a => a.Read<CountDifferenceRequest>().Lines));
        return waiting.ToDictionary(a => a.Id, IReadOnlyList<Phrase> (a) =>
        {
            CountDifferenceRequest request = a.Read<CountDifferenceRequest>();
            ILookup<bool, CountDifferenceLine> lines = request.Lines.ToLookup(l => CorrectedSince(l, a, corrections) is not null);
            return
            [
                .. (request with { Lines = [.. lines[false]] }).Since(books),
                .. request.Lines.Select(l => CountedSince(l, a, later)).OfType<Phrase>(),
                .. lines[true].Select(l => CorrectedSince(l, a, corrections)).OfType<Phrase>(),
            ];
        });
    }

    public async Task<Outcome<Phrase>> ApplyAsync(Act act, Approval approval)
    {
        CountDifferenceRequest request = approval.Read<CountDifferenceRequest>();
        Guid[] ids = [.. request.Lines.Select(l => l.LotId)];
        List<Lot> lots = await LotLock.TakeAsync(act.Db, ids, act.Cancellation);
        IReadOnlyDictionary<Guid, long> books = await LotPlace.InOwnBinMgAsync(act, lots);
        IReadOnlyDictionary<Guid, Phrase> holders = await CountBooking.HoldersAsync(act, ids);
        List<BinCountLine> later = await LaterAsync(act, ids, approval.AskedAt);
        List<Correction> corrections = await CorrectionsAsync(act, ids, request.Lines);
        foreach (CountDifferenceLine line in request.Lines)
        {
            Lot lot = lots.Single(l => l.Id == line.LotId);
            if (CountedSince(line, approval, later) is { } counted)
            {
                return new Refusal("counted-since", RefusalKind.Conflict, new("{0} Decline this and go by the later count.", counted));
            }

            // What a weighing has put right by now would be booked twice.
            if (CorrectedSince(line, approval, corrections) is { } corrected)
            {
                return new Refusal("corrected-since", RefusalKind.Conflict, new("{0} Decline this; where a difference is left, count again.", corrected));
            }

            if (MayBook(line, lot, books[lot.Id], holders.GetValueOrDefault(lot.Id)) is { } refusal)
            {
                return refusal;
            }
        }

        foreach (CountDifferenceLine line in request.Lines)
        {
            Lot lot = lots.Single(l => l.Id == line.LotId);
            await CountBooking.BookAsync(act, lot, new CountBooking.Difference(request.CountId, line.DifferenceMg, books[lot.Id] + line.DifferenceMg, null), approval.Id);
        }

        await MarkAsync(act, request);
        return request.Lines.Count == 1
            ? new Phrase("Lot {0} has {1} in its bin now, as it was counted.", request.Lines[0].Display, Mass.FromMilligrams(books[ids[0]] + request.Lines[0].DifferenceMg))
            : new Phrase("The differences of {0} lots are booked.", request.Lines.Count);
    }

    private static Refusal? MayBook(CountDifferenceLine line, Lot lot, long book, Phrase? holders)
    {
        if (lot.ClosedAt is not null || book + line.DifferenceMg < 0)
        {
            return Refusal.Conflict("not-enough-in-bin", "Lot {0} has {1} in its bin now, so a difference of {2} can't be booked. Decline this and count it again.", line.Display, Mass.FromMilligrams(book), Mass.FromMilligrams(line.DifferenceMg));
        }

        return CountRules.MayBeFound(book + line.DifferenceMg, lot.HeldMg, line.Display, holders, "lots") is { } held ? held with { Kind = RefusalKind.Conflict, Rule = "held-more" } : null;
    }

    private static Task<List<BinCountLine>> LaterAsync(Act act, Guid[] lotIds, DateTimeOffset after) =>
        act.Db.BinCountLines.AsNoTracking().Include(l => l.Count)
            .Where(l => lotIds.Contains(l.LotId) && Results.Contains(l.Outcome) && l.Count.EndedAt > after)
            .OrderByDescending(l => l.Count.EndedAt).Take(lotIds.Length * 5).ToListAsync(act.Cancellation);

    private static Phrase? CountedSince(CountDifferenceLine line, Approval approval, List<BinCountLine> later) =>
        later.FirstOrDefault(l => l.LotId == line.LotId && l.Count.EndedAt > approval.AskedAt) is { } counted
            ? new("Lot {0} was counted again since: {1} found.", line.Display, Mass.FromMilligrams(counted.FoundMg))
            : null;

    /// <param name="Mg">What was added to the bin or, below zero, taken off.</param>
    private sealed record Correction(Guid LotId, long Sequence, DateTimeOffset At, MovementReason Reason, long Mg);

    /// <summary>What was booked at the lots' bins because the books were wrong, and not because yarn went somewhere.</summary>
    private static Task<List<Correction>> CorrectionsAsync(Act act, Guid[] lotIds, IEnumerable<CountDifferenceLine> lines)
    {
        long from = lines.Min(l => l.UpTo ?? 0);
        PlaceKind[] room = [PlaceKind.Bin, PlaceKind.Quarantine];
        PlaceKind[] nowhere = [PlaceKind.Adjustment, PlaceKind.Lost];
        return act.Db.Movements.AsNoTracking()
            .Where(m => lotIds.Contains(m.LotId!.Value) && m.Sequence > from && ((room.Contains(m.FromKind) && nowhere.Contains(m.ToKind)) || (m.FromKind == PlaceKind.Adjustment && room.Contains(m.ToKind))))
            .OrderByDescending(m => m.Sequence).Take(MostCorrections)
            .Select(m => new Correction(m.LotId!.Value, m.Sequence, m.At, m.Reason, m.FromKind == PlaceKind.Adjustment ? m.Mg : -m.Mg)).ToListAsync(act.Cancellation);
    }

    /// <summary>By the order of writing, which the lot's lock decides: a weighing that began before the count ended may be booked after it.</summary>
    private static Phrase? CorrectedSince(CountDifferenceLine line, Approval approval, List<Correction> corrections)
    {
        List<Correction> since = [.. corrections.Where(c => c.LotId == line.LotId && (line.UpTo is { } upTo ? c.Sequence > upTo : c.At > approval.AskedAt))];
        if (since.Count == 0)
        {
            return null;
        }

        long mg = since.Sum(c => c.Mg);
        return new(
            (since.Exists(c => c.Reason == MovementReason.WeighingDifference), mg < 0) switch
            {
                (true, true) => "Lot {0} was weighed since it was counted: {1} were taken off then.",
                (true, false) => "Lot {0} was weighed since it was counted: {1} were added then.",
                (false, true) => "The books of lot {0} were put right since it was counted: {1} were taken off then.",
                (false, false) => "The books of lot {0} were put right since it was counted: {1} were added then.",
            },
            line.Display, Mass.FromMilligrams(Math.Abs(mg)));
    }

    private static async Task MarkAsync(Act act, CountDifferenceRequest request)
    {
        Guid[] ids = [.. request.Lines.Select(l => l.LotId)];
        BinCount count = await act.Db.BinCounts.Include(c => c.Lines.Where(l => ids.Contains(l.LotId))).SingleAsync(c => c.Id == request.CountId, act.Cancellation);
        count.Outcome = CountOutcome.Approved;
        count.Lines.ForEach(l => l.Outcome = CountOutcome.Approved);
        await act.Db.SaveChangesAsync(act.Cancellation);
    }
}
