using GuildStash.Data.Approvals;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.SecondPerson;

/// <summary>What a request is about.</summary>
/// <param name="Display">For people: a lot's code in groups, a bag's number, or a bin's code.</param>
/// <param name="LotIds">Lots that show that they wait; they have to be locked.</param>
/// <param name="BagId">The bag, which has to be locked.</param>
public sealed record ApprovalSubject(string Display, long Mg, IReadOnlyList<Guid> LotIds, Guid? BagId = null, Guid? BinId = null);

/// <summary>Part of a use case: puts a request before a second person instead of doing it at once.</summary>
internal static class AskSecondPerson
{
    /// <summary>The request, saved with the act; nothing else has changed. Refused where the same waits already for one of the lots or the bag.</summary>
    public static async Task<Outcome<Approval>> ForAsync<T>(Act act, ApprovalKind kind, T payload, ApprovalSubject subject)
    {
        _ = ApprovedChanges.Of(kind);
        if (!ApprovalRights.MayAsk(kind, act.By.Role))
        {
            return Refusal.Forbidden("This needs the role \"{0}\"; you are \"{1}\". Ask a coordinator of your guild.", RoleNames.Of(ApprovalRights.Of(kind).Ask), RoleNames.Of(act.By.Role));
        }

        // Lots and bag are locked, so nobody else asks for the same in this moment.
        Guid[] lots = [.. subject.LotIds.Distinct()];
        if (await act.Db.Approvals.AnyAsync(
            a => a.State == ApprovalState.Waiting && a.Kind == kind
                && ((subject.BagId != null && a.BagId == subject.BagId) || (subject.BinId != null && a.BinId == subject.BinId) || a.Lots.Any(l => lots.Contains(l.LotId))),
            act.Cancellation))
        {
            return Refusal.Conflict("waits-already", "For {0} the same waits for a second person already. Let it be decided, or withdraw it first.", subject.Display);
        }

        Approval approval = new()
        {
            Kind = kind,
            Subject = subject.Display,
            Mg = subject.Mg,
            BagId = subject.BagId,
            BinId = subject.BinId,
            AskedAt = act.Now,
            AskedById = act.By.Id,
            AskedAs = act.By.Role,
        };
        approval.Write(payload);
        approval.Lots.AddRange(lots.Select(id => new ApprovalLot { ApprovalId = approval.Id, LotId = id }));
        act.Db.Approvals.Add(approval);
        await act.Db.SaveChangesAsync(act.Cancellation);
        return approval;
    }
}
