using System.Globalization;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Approvals;

/// <summary>What the rules look at on a request.</summary>
/// <param name="AskedById">The account that asked.</param>
/// <param name="AskedAs">Its role when it asked.</param>
public sealed record AskedApproval(ApprovalKind Kind, ApprovalState State, Guid AskedById, Role AskedAs, DateTimeOffset AskedAt);

/// <summary>The account that decides, with its role now.</summary>
public sealed record ApprovalDecider(Guid Id, Role Role);

/// <summary>The guild's setting for a guild of one: instead of a second person, a second look by the same one after a time.</summary>
/// <param name="IsOn">Off by default; while it is on, pages and records say so.</param>
/// <param name="Hours">Whole hours between asking and confirming, 1 to 720.</param>
public sealed record DelayedReview(bool IsOn, int Hours)
{
    public const int LeastHours = 1;
    public const int MostHours = 720;

    /// <summary>Three days: a weekend lies between the two looks (a judgement).</summary>
    public const int UsualHours = 72;

    public DateTimeOffset From(DateTimeOffset askedAt) => askedAt.AddHours(Hours);
}

/// <summary>Who may settle a request, and when. The database holds the rule about the same account as well.</summary>
public static class ApprovalRules
{
    /// <summary>By another account at once, or by the same one as a delayed review where the guild works so and the time is over.</summary>
    public static Outcome<ApprovalWay> Approve(AskedApproval asked, ApprovalDecider by, DelayedReview review, DateTimeOffset now)
    {
        if (Settled(asked) is { } settled)
        {
            return settled;
        }

        bool same = asked.AskedById == by.Id;
        if (same && !review.IsOn)
        {
            return Refusal.Conflict("second-person-is-another", "You asked for this yourself. Another person has to approve it; you can withdraw it.");
        }

        if (!ApprovalRights.MayDecide(asked.Kind, asked.AskedAs, by.Role))
        {
            return Refusal.Forbidden("For this, one of the two has to be a coordinator. Ask a coordinator to approve it.");
        }

        if (!same)
        {
            return ApprovalWay.SecondPerson;
        }

        return now >= review.From(asked.AskedAt)
            ? ApprovalWay.DelayedReview
            : Refusal.Conflict("review-too-early", "You asked for this yourself; the guild's delayed review allows you to confirm it {0} hours after asking. {1} hours are left. Look at it again then.",
                review.Hours, Math.Ceiling((review.From(asked.AskedAt) - now).TotalHours).ToString(CultureInfo.InvariantCulture));
    }

    /// <summary>By another account with the same rights, and with a reason.</summary>
    public static Refusal? Decline(AskedApproval asked, ApprovalDecider by, string reason)
    {
        if (Settled(asked) is { } settled)
        {
            return settled;
        }

        if (asked.AskedById == by.Id)
        {
            return Refusal.Conflict("second-person-is-another", "You asked for this yourself. Withdraw it instead.");
        }

        if (!ApprovalRights.MayDecide(asked.Kind, asked.AskedAs, by.Role))
        {
            return Refusal.Forbidden("For this, one of the two has to be a coordinator. Ask a coordinator to decide it.");
        }

        return string.IsNullOrWhiteSpace(reason) ? Refusal.Invalid("reason", "Say why, so that the person who asked can put it right.") : null;
    }

    /// <summary>Only the account that asked takes a request back.</summary>
    public static Refusal? Withdraw(AskedApproval asked, Guid by) =>
        Settled(asked) ?? (asked.AskedById == by ? null : Refusal.Forbidden("Only the person who asked can withdraw this. You can decline it."));

    private static Refusal? Settled(AskedApproval asked) => asked.State switch
    {
        ApprovalState.Approved => Refusal.Conflict("approval-settled", "This was approved already. Nothing was done a second time."),
        ApprovalState.Declined => Refusal.Conflict("approval-settled", "This was declined already. It has to be asked for anew."),
        ApprovalState.Withdrawn => Refusal.Conflict("approval-settled", "This was withdrawn by the person who asked. Nothing is left to decide."),
        _ => null,
    };
}
