using GuildStash.Data.Approvals;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.SecondPerson;

/// <summary>Makes several lots one once a second person approved.</summary>
internal sealed class ApprovedMerge : IApprovedChange
{
    public ApprovalKind Kind => ApprovalKind.Merge;

    public Phrase Sentence(Approval approval) => approval.Read<MergeRequest>().Sentence();

    public string Note(Approval approval) => approval.Read<MergeRequest>().Reason;

    public async Task<IReadOnlyDictionary<Guid, IReadOnlyList<Phrase>>> SinceAsync(Act act, IReadOnlyList<Approval> waiting)
    {
        Guid[] ids = [.. waiting.SelectMany(a => a.Lots).Select(l => l.LotId)];
        Dictionary<string, long> now = await act.Db.Lots.AsNoTracking().Where(l => ids.Contains(l.Id)).ToDictionaryAsync(l => l.Code, l => l.OnHandMg, act.Cancellation);
        return waiting.ToDictionary(a => a.Id, a => a.Read<MergeRequest>().Since(now));
    }

    public Task<Outcome<Phrase>> ApplyAsync(Act act, Approval approval) => MergeLots.BookAsync(act, approval.Read<MergeRequest>(), approval.Id);
}
