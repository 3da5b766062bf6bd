using GuildStash.Domain.Codes;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Inventory;

/// <summary>One movement for people: places by their names, members only for volunteers.</summary>
public sealed record StoryLine(long Sequence, DateTimeOffset At, string ByName, MovementReason Reason, PlaceKind FromKind, string FromName, PlaceKind ToKind, string ToName, long Mg, string Note)
{
    /// <summary>Who asked for it, where a second person had to approve; members are told no names.</summary>
    public string AskedByName { get; init; } = "";

    /// <summary>Hours of the delayed review by which it was confirmed alone; null otherwise.</summary>
    public int? ReviewAfterHours { get; init; }
}

/// <summary>Everything that happened to a lot, oldest first.</summary>
public sealed class LotStory(GuildWork work)
{
    public const int MostLines = 500;

    public Task<Outcome<IReadOnlyList<StoryLine>>> RunAsync(Guid by, Guid lotId, CancellationToken cancellation) =>
        work.ReadAsync<IReadOnlyList<StoryLine>>(by, Role.Member, async act =>
        {
            var rows = await act.Db.Movements.Where(m => m.LotId == lotId).OrderBy(m => m.Sequence).Take(MostLines)
                .Select(m => new
                {
                    m.Sequence,
                    m.At,
                    m.Reason,
                    m.FromKind,
                    m.ToKind,
                    m.Mg,
                    m.Note,
                    m.ById,
                    Approval = act.Db.Approvals.Where(a => a.Id == m.ApprovalId)
                        .Select(a => new { a.ReviewAfterHours, By = act.Db.People.Where(p => p.Id == a.AskedById).Select(p => p.DisplayName).First() }).FirstOrDefault(),
                    By = act.Db.People.Where(p => p.Id == m.ById).Select(p => p.DisplayName).First(),
                    m.FromId,
                    m.ToId,
                    FromBin = act.Db.Bins.Where(b => b.Id == m.FromId).Select(b => new { b.Code, b.Name }).FirstOrDefault(),
                    ToBin = act.Db.Bins.Where(b => b.Id == m.ToId).Select(b => new { b.Code, b.Name }).FirstOrDefault(),
                    FromOther = act.Db.People.Where(p => p.Id == m.FromId).Select(p => p.DisplayName).FirstOrDefault()
                        ?? act.Db.Bags.Where(b => b.Id == m.FromId).Select(b => b.Donation.Number + "/" + b.Ordinal).FirstOrDefault(),
                    OtherLot = m.FromKind != PlaceKind.Relotted && m.ToKind != PlaceKind.Relotted ? null : act.Db.LotTransfers
                        .Where(t => t.Id == (m.FromKind == PlaceKind.Relotted ? m.FromId : m.ToId))
                        .Select(t => act.Db.Lots.Where(l => l.Id == (m.FromKind == PlaceKind.Relotted ? t.FromLotId : t.ToLotId)).Select(l => l.Code).First()).FirstOrDefault(),
                    ToOther = act.Db.People.Where(p => p.Id == m.ToId).Select(p => p.DisplayName).FirstOrDefault()
                        ?? act.Db.Projects.Where(p => p.Id == m.ToId).Select(p => p.Name).FirstOrDefault()
                        ?? act.Db.Bags.Where(b => b.Id == m.ToId).Select(b => b.Donation.Number + "/" + b.Ordinal).FirstOrDefault(),
                }).ToListAsync(act.Cancellation);
            bool all = act.By.Role >= Role.Volunteer;
            string Name(PlaceKind kind, Guid? id, string? code, string? bin, string? other, string? lot) => code is not null
                ? $"{BinCode.Parse(code).Value.Display} {bin}"
                : kind == PlaceKind.Relotted ? LotCode.Parse(lot).Value.Display : kind == PlaceKind.Member && !all && id != act.By.Id ? "" : other ?? "";
            return rows.ConvertAll(r => new StoryLine(r.Sequence, r.At, all || r.ById == act.By.Id ? r.By : "", r.Reason,
                r.FromKind, Name(r.FromKind, r.FromId, r.FromBin?.Code, r.FromBin?.Name, r.FromOther, r.OtherLot),
                r.ToKind, Name(r.ToKind, r.ToId, r.ToBin?.Code, r.ToBin?.Name, r.ToOther, r.OtherLot), r.Mg, all ? r.Note : "")
            {
                AskedByName = all ? r.Approval?.By ?? "" : "",
                ReviewAfterHours = r.Approval?.ReviewAfterHours,
            });
        }, cancellation);
}
