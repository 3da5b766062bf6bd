using GuildStash.Data.Approvals;
using GuildStash.Data.Guild;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.SecondPerson;

/// <summary>What came of a decision.</summary>
/// <param name="Template">English template of what was done; its arguments beside it. Kept so that a repeated request gets the same answer.</param>
public sealed record Decided(Guid Id, ApprovalState State, string Template, IReadOnlyList<string> Arguments)
{
    public Phrase Sentence() => new(Template, [.. Arguments]);
}

/// <summary>Settles a request: whoever comes first does it once, under a lock on the request; everybody after hears that it is settled.</summary>
public sealed class DecideApproval(GuildWork work)
{
    private const int LongestNote = 1000;

    /// <summary>Approves, and does in the same transaction what was asked for.</summary>
    /// <param name="seen">What the person saw when deciding, see <see cref="ApprovalView.Seen"/>; null where nothing was shown.</param>
    public Task<Outcome<Decided>> ApproveAsync(Guid by, Guid approvalId, string? seen, string? note, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => ApproveAsync(act, approvalId, seen, note), cancellation);

    public Task<Outcome<Decided>> DeclineAsync(Guid by, Guid approvalId, string? reason, CancellationToken cancellation) =>
        work.WriteAsync<Decided>(by, Role.Volunteer, async act =>
        {
            Check check = new();
            string why = check.Text(reason, "reason", LongestNote);
            if (check.Failed)
            {
                return check.Refuse<Decided>();
            }

            Approval? approval = await LockAsync(act, approvalId);
            if (approval is null)
            {
                return NotThere;
            }

            return ApprovalRules.Decline(approval.Asked, new ApprovalDecider(act.By.Id, act.By.Role), why) is { } refusal
                ? refusal
                : Settle(act, approval, ApprovalState.Declined, why, new("Declined. {0} is as it was.", approval.Subject));
        }, cancellation);

    public Task<Outcome<Decided>> WithdrawAsync(Guid by, Guid approvalId, CancellationToken cancellation) =>
        work.WriteAsync<Decided>(by, Role.Volunteer, async act =>
        {
            Approval? approval = await LockAsync(act, approvalId);
            if (approval is null)
            {
                return NotThere;
            }

            return ApprovalRules.Withdraw(approval.Asked, act.By.Id) is { } refusal
                ? refusal
                : Settle(act, approval, ApprovalState.Withdrawn, "", new("Withdrawn. {0} is as it was.", approval.Subject));
        }, cancellation);

    private static Refusal NotThere => Refusal.NotFound("There is no such request.");

    private static async Task<Outcome<Decided>> ApproveAsync(Act act, Guid approvalId, string? seen, string? note)
    {
        Check check = new();
        string noted = check.Text(note, "note", LongestNote);
        if (check.Failed)
        {
            return check.Refuse<Decided>();
        }

        Approval? approval = await LockAsync(act, approvalId);
        if (approval is null)
        {
            return NotThere;
        }

        // The same press twice, by a slow network or a nervous finger, is one approval.
        if (approval.State == ApprovalState.Approved && approval.DecidedById == act.By.Id)
        {
            return Answer(approval, new("You approved this already. It was done once."));
        }

        GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
        Outcome<ApprovalWay> way = ApprovalRules.Approve(approval.Asked, new ApprovalDecider(act.By.Id, act.By.Role), guild.DelayedReview, act.Now);
        if (!way.IsOk)
        {
            return Outcome<Decided>.Refused(way.Refusals);
        }

        IApprovedChange change = ApprovedChanges.Of(approval.Kind);
        if (seen is not null && await ChangedAsync(act, change, approval, seen) is { } changed)
        {
            return changed;
        }

        Outcome<Phrase> done = await change.ApplyAsync(act, approval);
        if (!done.IsOk)
        {
            return Outcome<Decided>.Refused(done.Refusals);
        }

        approval.ReviewAfterHours = way.Value == ApprovalWay.DelayedReview ? guild.DelayedReviewHours : null;
        return Settle(act, approval, ApprovalState.Approved, noted, done.Value);
    }

    private static async Task<Refusal?> ChangedAsync(Act act, IApprovedChange change, Approval approval, string seen)
    {
        IReadOnlyList<Phrase> since = (await change.SinceAsync(act, [approval])).GetValueOrDefault(approval.Id, []);
        return ApprovalView.SeenOf(since) == seen
            ? null
            : Refusal.Conflict("changed-since-you-looked", "Something changed while you were looking: {0} Look again, then decide.", since.Count > 0 ? string.Join(" ", since) : "it is as it was when it was asked for.");
    }

    /// <summary>The request, in nobody else's hands until the transaction ends.</summary>
    private static async Task<Approval?> LockAsync(Act act, Guid approvalId)
    {
        await act.Db.Database.ExecuteSqlAsync($"select 1 from approval where id = {approvalId} for no key update", act.Cancellation);
        return await act.Db.Approvals.Include(a => a.Lots).SingleOrDefaultAsync(a => a.Id == approvalId, act.Cancellation);
    }

    private static Decided Settle(Act act, Approval approval, ApprovalState state, string note, Phrase sentence)
    {
        approval.State = state;
        approval.DecidedAt = act.Now;
        approval.DecidedById = act.By.Id;
        approval.DecisionNote = note;
        return Answer(approval, sentence);
    }

    private static Decided Answer(Approval approval, Phrase sentence) =>
        new(approval.Id, approval.State, sentence.Text, [.. sentence.Arguments.Select(argument => argument.ToString() ?? "")]);
}
