using GuildStash.Data.Approvals;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Relotting;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Relotting;

/// <param name="Left">Code of the lot that is left.</param>
/// <param name="LotCodes">Codes of the others.</param>
/// <param name="Agreed">Keys of what the person said yes to, see <see cref="Widening"/>.</param>
public sealed record MergeInput(string? Left, IReadOnlyList<string> LotCodes, IReadOnlyList<string> Agreed, string? Reason);

/// <param name="Lots">The lot that is left comes first.</param>
/// <param name="Widened">What a person has to say yes to.</param>
/// <param name="Mg">What they have on hand together.</param>
public sealed record MergePreview(IReadOnlyList<LotView> Lots, IReadOnlyList<Widening> Widened, long Mg);

/// <summary>Shows what lots would be together, before anybody is asked.</summary>
public sealed class PreviewMerge(GuildWork work)
{
    public Task<Outcome<MergePreview>> RunAsync(Guid by, string? left, IReadOnlyList<string> lotCodes, CancellationToken cancellation) =>
        work.ReadAsync<MergePreview>(by, Role.Volunteer, async act =>
        {
            Outcome<IReadOnlyList<string>> codes = MergeDesk.Codes(lotCodes, left);
            if (!codes.IsOk)
            {
                return Outcome<MergePreview>.Refused(codes.Refusals);
            }

            Outcome<MergeTable> table = await MergeDesk.ReadAsync(act, codes.Value, locked: false);
            if (!table.IsOk)
            {
                return Outcome<MergePreview>.Refused(table.Refusals);
            }

            Outcome<MergedLot> merged = MergeRules.Merge(table.Value.Seen);
            if (!merged.IsOk)
            {
                return Outcome<MergePreview>.Refused(merged.Refusals);
            }

            Guid[] ids = [.. table.Value.Lots.Select(l => l.Id)];
            Dictionary<Guid, LotView> views = (await LotViews.Rows(act.Db.Lots.Where(l => ids.Contains(l.Id))).ToListAsync(act.Cancellation)).Select(row => LotViews.From(row, act.Yardage)).ToDictionary(v => v.Id);
            return new MergePreview([.. ids.Select(id => views[id])], merged.Value.Widened, table.Value.Lots.Sum(l => l.OnHandMg));
        }, cancellation);
}

/// <summary>Asks a second person to make several lots one. Nothing moves before it is approved.</summary>
public sealed class AskMerge(GuildWork work)
{
    /// <returns>The request that waits.</returns>
    public Task<Outcome<Guid>> RunAsync(Guid by, MergeInput input, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => AskAsync(act, input), cancellation);

    private static async Task<Outcome<Guid>> AskAsync(Act act, MergeInput input)
    {
        Check check = new();
        string reason = check.Needed(input.Reason, "reason", 500);
        IReadOnlyList<string>? codes = check.Take(MergeDesk.Codes(input.LotCodes, input.Left));
        if (check.Failed)
        {
            return check.Refuse<Guid>();
        }

        Outcome<MergeTable> read = await MergeDesk.ReadAsync(act, codes!, locked: true);
        if (!read.IsOk)
        {
            return Outcome<Guid>.Refused(read.Refusals);
        }

        MergeTable table = read.Value;
        Outcome<MergedLot> merged = MergeRules.Merge(table.Seen);
        if (!merged.IsOk)
        {
            return Outcome<Guid>.Refused(merged.Refusals);
        }

        if (merged.Value.Widened.Where(w => !input.Agreed.Contains(w.Key)).ToList() is { Count: > 0 } open)
        {
            return Outcome<Guid>.Refused([.. open.Select(w => new Refusal("merge-widens", RefusalKind.Conflict, w.Sentence, "agreed"))]);
        }

        MergeRequest request = new([.. table.Lots.Select(l => new MergePart(l.Code, l.OnHandMg))], [.. merged.Value.Widened.Select(w => w.Key)], reason);
        ApprovalSubject subject = new(LotCode.Parse(table.Left.Code).Value.Display, table.Lots.Skip(1).Sum(l => l.OnHandMg), [.. table.Lots.Select(l => l.Id)]);
        Outcome<Approval> asked = await AskSecondPerson.ForAsync(act, ApprovalKind.Merge, request, subject);
        return asked.IsOk ? asked.Value.Id : Outcome<Guid>.Refused(asked.Refusals);
    }
}

/// <summary>Part of an approval: makes the lots one, as far as the rules allow it now.</summary>
internal static class MergeLots
{
    public static async Task<Outcome<Phrase>> BookAsync(Act act, MergeRequest request, Guid approvalId)
    {
        Outcome<MergeTable> read = await MergeDesk.ReadAsync(act, [.. request.Lots.Select(l => l.Code)], locked: true, approvalId);
        if (!read.IsOk)
        {
            return Outcome<Phrase>.Refused(read.Refusals);
        }

        MergeTable table = read.Value;
        Outcome<MergedLot> merged = MergeRules.Merge(table.Seen);
        if (!merged.IsOk)
        {
            return Outcome<Phrase>.Refused(merged.Refusals);
        }

        if (merged.Value.Widened.FirstOrDefault(w => !request.Widened.Contains(w.Key)) is { } more)
        {
            return Refusal.Conflict("merge-widens", "Something was learnt of the lots since this was asked for: {0} Decline it, and let it be asked for anew.", more.Sentence);
        }

        MergeDesk.Write(table, merged.Value.Traits, act.Yardage);
        Relot.Changed(act, table.Left);
        if (await BarredHoldsAsync(act, table) is { Count: > 0 } barred)
        {
            return Outcome<Phrase>.Refused(barred);
        }

        await act.Db.SaveChangesAsync(act.Cancellation);
        await CarryAsync(act, table, request.Reason, approvalId);
        return new Phrase("{0} are in lot {1} now. Put the yarn together in bin {2} and print a new label; the old codes lead to this lot.",
            Mass.FromMilligrams(table.Seen.Sum(l => l.OnHandMg)), table.Seen[0].Code, BinCode.Parse(table.Left.Bin.Code).Value.Display);
    }

    /// <summary>First the grams come in, then the promises go along, then the grams leave: at no moment is more promised than is there.</summary>
    private static async Task CarryAsync(Act act, MergeTable table, string reason, Guid approvalId)
    {
        Lot left = table.Left;
        List<LotTransfer> transfers = [];
        for (int i = 1; i < table.Lots.Count; i++)
        {
            transfers.Add(new() { Kind = LotTransferKind.Merge, FromLotId = table.Lots[i].Id, ToLotId = left.Id, Mg = table.Seen[i].InBinMg, Balls = table.Lots[i].Count, ApprovalId = approvalId, At = act.Now, ById = act.By.Id });
        }

        foreach (LotTransfer transfer in transfers)
        {
            await Relot.ArriveAsync(act, transfer, left, left.Bin, MovementReason.Merged, reason);
        }

        foreach (LotTransfer transfer in transfers)
        {
            Lot from = table.Lots.Single(l => l.Id == transfer.FromLotId);
            await act.Db.Database.ExecuteSqlAsync($"update hold set lot_id = {left.Id} where lot_id = {from.Id} and state = 'Active'", act.Cancellation);
            await Relot.LeaveAsync(act, transfer, from, MovementReason.Merged, reason);
            await Relot.CloseIntoAsync(act, from, left);
        }
    }

    /// <summary>Promises that the lot, as it would be, may not keep.</summary>
    private static async Task<List<Refusal>> BarredHoldsAsync(Act act, MergeTable table)
    {
        Guid[] ids = [.. table.Lots.Select(l => l.Id)];
        List<Hold> holds = await act.Db.Holds.AsNoTracking().Include(h => h.Request).ThenInclude(r => r.Project)
            .Where(h => ids.Contains(h.LotId) && h.State == HoldState.Active && h.Request.ProjectId != null).ToListAsync(act.Cancellation);
        return [.. holds.SelectMany(h => HoldRules.MayGoTo(table.Left, h.Request.Project, "lotCodes")).DistinctBy(r => r.Sentence)];
    }
}
