using GuildStash.Data.Approvals;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.SecondPerson;

/// <summary>
/// What approving one kind of request does. A kind is added by its record (Domain/Approvals), a row in <see cref="ApprovalRights"/>, an
/// implementation of this, and a line in <see cref="ApprovedChanges"/>. Implementations have no state.
/// </summary>
public interface IApprovedChange
{
    ApprovalKind Kind { get; }

    /// <summary>What the request would do, with its figures, from its payload alone.</summary>
    Phrase Sentence(Approval approval);

    /// <summary>The asker's own words: why, or what was found.</summary>
    string Note(Approval approval);

    /// <summary>For each request in which something has changed since it was asked for: what; one query for all of them.</summary>
    Task<IReadOnlyDictionary<Guid, IReadOnlyList<Phrase>>> SinceAsync(Act act, IReadOnlyList<Approval> waiting);

    /// <summary>
    /// Does it, in the transaction of the one who approves: locks, asks every rule again as of now, and books with the request's key.
    /// A refusal leaves the request waiting.
    /// </summary>
    /// <returns>What was done, in a sentence.</returns>
    Task<Outcome<Phrase>> ApplyAsync(Act act, Approval approval);
}

/// <summary>The kinds of requests that can be asked for and approved.</summary>
internal static class ApprovedChanges
{
    private static readonly IReadOnlyDictionary<ApprovalKind, IApprovedChange> ByKind =
        new IApprovedChange[] { new ApprovedWriteOff(), new ApprovedRelease(), new ApprovedMerge(), new Counting.ApprovedCountDifference(), new Sorting.ApprovedWeighing() }.ToDictionary(change => change.Kind);

    /// <exception cref="KeyNotFoundException">Nothing asks for this kind yet.</exception>
    public static IApprovedChange Of(ApprovalKind kind) => ByKind[kind];
}
