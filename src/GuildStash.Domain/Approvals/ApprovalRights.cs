using GuildStash.Domain.People;

namespace GuildStash.Domain.Approvals;

/// <summary>Who may take part in one kind of request.</summary>
/// <param name="Kind">The kind.</param>
/// <param name="Ask">Least role that may ask.</param>
/// <param name="Decide">Least role that may approve or decline.</param>
/// <param name="OneOfBoth">Least role that one of the two, whichever, must have.</param>
public sealed record ApprovalRight(ApprovalKind Kind, Role Ask, Role Decide, Role OneOfBoth);

/// <summary>
/// The table of roles and kinds. Two volunteers may release and merge: four eyes are what counts there. Where yarn leaves the books, one
/// of the two is a coordinator, in whichever order; so a volunteer may confirm what the only coordinator asked for (a judgement).
/// </summary>
public static class ApprovalRights
{
    public static IReadOnlyList<ApprovalRight> Table { get; } =
    [
        new(ApprovalKind.WriteOff, Role.Volunteer, Role.Volunteer, Role.Coordinator),
        new(ApprovalKind.Merge, Role.Volunteer, Role.Volunteer, Role.Volunteer),
        new(ApprovalKind.QuarantineRelease, Role.Volunteer, Role.Volunteer, Role.Volunteer),
        new(ApprovalKind.CountDifference, Role.Volunteer, Role.Volunteer, Role.Coordinator),
        new(ApprovalKind.Weighing, Role.Volunteer, Role.Volunteer, Role.Coordinator),
    ];

    public static ApprovalRight Of(ApprovalKind kind) => Table.Single(right => right.Kind == kind);

    public static bool MayAsk(ApprovalKind kind, Role role) => role >= Of(kind).Ask;

    /// <param name="kind">The kind of request.</param>
    /// <param name="askedAs">Role of the asker when asking.</param>
    /// <param name="role">Role of the one who decides, now.</param>
    public static bool MayDecide(ApprovalKind kind, Role askedAs, Role role)
    {
        ApprovalRight right = Of(kind);
        return role >= right.Decide && (role >= right.OneOfBoth || askedAs >= right.OneOfBoth);
    }

    /// <summary>The kinds that a person of a role may decide when somebody of the other role asked; for lists and counts.</summary>
    public static IReadOnlyList<ApprovalKind> DecidedBy(Role role, Role askedAs) =>
        [.. Table.Where(right => MayDecide(right.Kind, askedAs, role)).Select(right => right.Kind)];
}
