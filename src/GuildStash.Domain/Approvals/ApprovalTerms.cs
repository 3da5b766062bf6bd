using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Approvals;

/// <summary>The words for kinds and states of requests.</summary>
public static class ApprovalTerms
{
    public static Terms<ApprovalKind> Kinds { get; } = new(
        (ApprovalKind.WriteOff, "writeOff", "Write-off"),
        (ApprovalKind.Merge, "merge", "Merge of lots"),
        (ApprovalKind.QuarantineRelease, "quarantineRelease", "Release from quarantine"),
        (ApprovalKind.CountDifference, "countDifference", "Count difference"),
        (ApprovalKind.Weighing, "weighing", "Weight far from the books"));

    public static Terms<ApprovalState> States { get; } = new(
        (ApprovalState.Waiting, "waiting", "waiting for a second person"),
        (ApprovalState.Approved, "approved", "approved"),
        (ApprovalState.Declined, "declined", "declined"),
        (ApprovalState.Withdrawn, "withdrawn", "withdrawn"));

    public static Phrase Name(this ApprovalKind kind) => Kinds.Name(kind);

    public static Phrase Name(this ApprovalState state) => States.Name(state);
}
