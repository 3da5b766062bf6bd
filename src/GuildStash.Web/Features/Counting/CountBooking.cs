using GuildStash.Data.Approvals;
using GuildStash.Data.Counting;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Counting;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Counting;

/// <summary>Writes what a count found into the books: within tolerance at once, beyond it by asking a second person.</summary>
internal static class CountBooking
{
    /// <summary>Ends a count lot by lot. The lots are locked; the count's lines become what they mean.</summary>
    public static async Task<Refusal?> SettleAsync(Act act, BinCount count, Bin bin, IReadOnlyList<ComparedLot> compared, Scale? scale)
    {
        Take(count, compared);
        if (await AskAsync(act, count, bin, compared) is { } refusal)
        {
            return refusal;
        }

        count.Outcome = compared.Any(c => c.Outcome == CountOutcome.Asked) ? CountOutcome.Asked
            : compared.Any(c => c.Outcome == CountOutcome.Booked) ? CountOutcome.Booked : CountOutcome.Agrees;
        End(act, count);
        bin.LastCountedAt = act.Now;

        // Ended before anything is booked: until then the database lets nothing move here, not even this.
        await act.Db.SaveChangesAsync(act.Cancellation);
        foreach (ComparedLot lot in compared.Where(c => c.Outcome != CountOutcome.Asked))
        {
            await BookAsync(act, lot.Lot, new Difference(count.Id, lot.DifferenceMg, lot.FoundMg, scale?.DivisionMg), null);
            lot.Lot.ScaleDivisionMg = scale?.DivisionMg ?? lot.Lot.ScaleDivisionMg;
            lot.Lot.WeighedForTrade = lot.FoundMg > 0 && scale is { IsVerified: true };
        }

        return null;
    }

    public static void End(Act act, BinCount count)
    {
        count.EndedAt = act.Now;
        count.EndedById = act.By.Id;
    }

    /// <param name="DifferenceMg">What is added (or, below zero, taken off).</param>
    /// <param name="LeftMg">What the bin has of the lot then.</param>
    internal sealed record Difference(Guid CountId, long DifferenceMg, long LeftMg, long? ScaleDivisionMg);

    /// <summary>Books one difference at the lot's bin; nothing where there is none.</summary>
    public static async Task BookAsync(Act act, Lot lot, Difference d, Guid? approvalId)
    {
        if (d.DifferenceMg == 0)
        {
            return;
        }

        Place here = Place.Bin(lot.BinId, lot.Bin.IsQuarantine);
        bool gone = d.LeftMg == 0;
        MovementDraft draft = d.DifferenceMg > 0
            ? MovementDraft.Create(Place.Adjustment, here, d.DifferenceMg, MovementReason.Counted)
            : MovementDraft.Create(here, gone ? Place.Lost : Place.Adjustment, -d.DifferenceMg, gone ? MovementReason.GoneMissing : MovementReason.Counted);
        act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now, approvalId: approvalId, countId: d.CountId, scaleDivisionMg: d.ScaleDivisionMg));
        if (lot.SealedBalls is not null && d.LeftMg > 0)
        {
            // Balls that fit what was found keep the band's length; else all of it counts by its grams.
            SealedInLot.Note(lot, SealedInLot.Weighed(lot, null, d.LeftMg - d.DifferenceMg, d.LeftMg) is { IsOk: true } balls ? balls.Value : default);
            LotFields.Compute(lot, act.Yardage);
        }

        await act.Db.SaveChangesAsync(act.Cancellation);
        if (gone)
        {
            await LotClosing.CloseIfEmptyAsync(act, lot);
        }
    }

    /// <summary>How much of a lot is promised by which request or kit, for the sentence that refuses to count below it.</summary>
    public static async Task<IReadOnlyDictionary<Guid, Phrase>> HoldersAsync(Act act, IReadOnlyCollection<Guid> lotIds)
    {
        if (lotIds.Count == 0)
        {
            return new Dictionary<Guid, Phrase>();
        }

        var holds = await act.Db.Holds.Where(h => lotIds.Contains(h.LotId) && h.State == HoldState.Active)
            .OrderBy(h => h.CreatedAt)
            .Select(h => new { h.LotId, h.Request.Number, h.Request.Member.DisplayName, h.Mg, Kit = act.Db.Kits.Where(k => k.RequestId == h.RequestId).Select(k => k.Number).FirstOrDefault() })
            .ToListAsync(act.Cancellation);
        return holds.GroupBy(h => h.LotId).ToDictionary(g => g.Key, g => g
            .Select(h => h.Kit is null ? new Phrase("{0} of {1} ({2})", Mass.FromMilligrams(h.Mg), h.DisplayName, h.Number) : new Phrase("{0} in kit {1}", Mass.FromMilligrams(h.Mg), h.Kit))
            .Aggregate((soFar, next) => new Phrase("{0}, {1}", soFar, next)));
    }

    private static void Take(BinCount count, IReadOnlyList<ComparedLot> compared)
    {
        count.Way = CountWay.LotByLot;
        (count.GrossMg, count.TareMg) = (null, null);
        count.Lots = compared.Count;
        count.BookMg = compared.Sum(c => c.BookMg);
        count.FoundMg = compared.Sum(c => c.FoundMg);
        count.ToleranceMg = compared.Sum(c => c.ToleranceMg);
        (count.BookVariance, count.FoundVariance) = (compared.Sum(c => c.Variances.BookVariance), compared.Sum(c => c.Variances.FoundVariance));
        count.CountingVariance = compared.Sum(c => c.Variances.CountingVariance);
        foreach (ComparedLot lot in compared)
        {
            BinCountLine line = count.Lines.SingleOrDefault(l => l.LotId == lot.Lot.Id) ?? Added(count, lot.Lot.Id);
            (line.FoundMg, line.BookMg, line.ToleranceMg, line.Outcome) = (lot.FoundMg, lot.BookMg, lot.ToleranceMg, lot.Outcome);
            (line.BookVariance, line.FoundVariance, line.CountingVariance) = (lot.Variances.BookVariance, lot.Variances.FoundVariance, lot.Variances.CountingVariance);
            line.DriftMg = lot.Drift.Counts > 1 ? lot.Drift.SumMg : null;
        }
    }

    private static BinCountLine Added(BinCount count, Guid lotId)
    {
        BinCountLine line = new() { CountId = count.Id, LotId = lotId };
        count.Lines.Add(line);
        return line;
    }

    /// <summary>One request for all lots beyond their tolerance; a lot that waits already is not asked for twice.</summary>
    private static async Task<Refusal?> AskAsync(Act act, BinCount count, Bin bin, IReadOnlyList<ComparedLot> compared)
    {
        Guid[] beyond = [.. compared.Where(c => c.Outcome == CountOutcome.Asked).Select(c => c.Lot.Id)];
        if (beyond.Length == 0)
        {
            return null;
        }

        var waiting = await act.Db.ApprovalLots
            .Where(l => beyond.Contains(l.LotId) && l.Approval.State == ApprovalState.Waiting && l.Approval.Kind == ApprovalKind.CountDifference)
            .Select(l => new { l.LotId, l.ApprovalId }).ToListAsync(act.Cancellation);
        List<ComparedLot> anew = [.. compared.Where(c => c.Outcome == CountOutcome.Asked && waiting.All(w => w.LotId != c.Lot.Id))];
        if (anew.Count == 0)
        {
            count.ApprovalId = waiting[0].ApprovalId;
            return null;
        }

        Guid[] ids = [.. anew.Select(c => c.Lot.Id)];
        Dictionary<Guid, long> upTo = await act.Db.Movements.Where(m => ids.Contains(m.LotId!.Value)).GroupBy(m => m.LotId!.Value)
            .ToDictionaryAsync(g => g.Key, g => g.Max(m => m.Sequence), act.Cancellation);
        CountDifferenceRequest request = new(count.Id, bin.Code, [.. anew.Select(c => Line(c, upTo.GetValueOrDefault(c.Lot.Id)))]);
        ApprovalSubject subject = new(BinCode.Parse(bin.Code).Value.Display, anew.Sum(c => Math.Abs(c.DifferenceMg)), [.. anew.Select(c => c.Lot.Id)]);
        Outcome<Approval> asked = await AskSecondPerson.ForAsync(act, ApprovalKind.CountDifference, request, subject);
        if (!asked.IsOk)
        {
            return asked.Refusal;
        }

        asked.Value.BinId = bin.Id;
        count.ApprovalId = asked.Value.Id;
        return null;
    }

    private static CountDifferenceLine Line(ComparedLot c, long upTo) => new(
        c.Lot.Id, c.Lot.Code, c.BookMg, c.FoundMg, c.ToleranceMg, Math.Abs(c.DifferenceMg) <= c.ToleranceMg ? c.Drift.SumMg : null, upTo);
}
