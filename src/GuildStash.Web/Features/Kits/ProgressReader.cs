using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <summary>How far one kind of piece is.</summary>
/// <param name="InKits">Their yarn lies together in the room.</param>
/// <param name="InTheMaking">Started and not finished.</param>
/// <param name="Finished">All that were finished, those handed over included.</param>
/// <param name="Delivered">Handed to the recipient.</param>
public sealed record PieceProgress(Guid WantedPieceId, Guid? PieceId, string Name, int Wanted, int InKits, int InTheMaking, int Finished, int Delivered)
{
    /// <summary>Finished, and still with the guild.</summary>
    public int InHand => Finished - Delivered;

    /// <summary>Nobody has begun with these, and no yarn lies ready for them.</summary>
    public int Missing => Math.Max(0, Wanted - Finished - InTheMaking - InKits);
}

/// <summary>A record as it is listed.</summary>
/// <param name="Maker">Empty for members, who don't learn of each other's.</param>
/// <param name="MayTakeBack">The person may, and it was not yet.</param>
public sealed record PieceRecordView(
    Guid Id, string PieceName, PieceStep Step, int Pieces, DateOnly On, string Maker, long? UsedMg, string? KitNumber, string Note, bool IsTakenBack, bool MayTakeBack);

/// <summary>Reads how far a project's pieces are.</summary>
public sealed class ProgressReader(GuildWork work)
{
    /// <summary>In the project's order.</summary>
    public Task<Outcome<IReadOnlyList<PieceProgress>>> OfProjectAsync(Guid by, Guid projectId, CancellationToken cancellation) =>
        work.ReadAsync(by, Role.Member, act => ProgressAsync(act, projectId), cancellation);

    /// <summary>What was written down for a project, newest first; corrections are shown at the record that they take back.</summary>
    public Task<Outcome<PageOf<PieceRecordView>>> RecordsAsync(Guid by, Guid projectId, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<PieceRecordView>>(by, Role.Member, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            bool all = act.By.Role >= Role.Volunteer;
            return await act.Db.PieceRecords.Where(r => r.ProjectId == projectId && r.TakesBackId == null)
                .OrderByDescending(r => r.On).ThenByDescending(r => r.CreatedAt).ThenByDescending(r => r.Id)
                .Select(r => new
                {
                    Record = r,
                    Maker = act.Db.People.Where(p => p.Id == r.MakerId && (all || p.Id == act.By.Id)).Select(p => p.DisplayName).FirstOrDefault(),
                    Kit = act.Db.Kits.Where(k => k.Id == r.KitId && (all || k.Request.MemberId == act.By.Id)).Select(k => k.Number).FirstOrDefault(),
                    IsTakenBack = act.Db.PieceRecords.Any(t => t.TakesBackId == r.Id),
                    IsMine = r.CreatedById == act.By.Id,
                })
                .Select(x => new PieceRecordView(x.Record.Id, x.Record.PieceName, x.Record.Step, x.Record.Pieces, x.Record.On, x.Maker ?? "", x.Record.UsedMg, x.Kit,
                    all || x.IsMine ? x.Record.Note : "", x.IsTakenBack, !x.IsTakenBack && (all || x.IsMine)))
                .PageAsync(page, act.Cancellation);
        }, cancellation);

    private static async Task<Outcome<IReadOnlyList<PieceProgress>>> ProgressAsync(Act act, Guid projectId)
    {
        var wanted = await act.Db.WantedPieces.Where(w => w.ProjectId == projectId).OrderBy(w => w.Position)
            .Select(w => new { w.Id, w.PieceId, w.Name, w.Wanted }).ToListAsync(act.Cancellation);
        Dictionary<Guid, int> kits = await act.Db.Kits
            .Where(k => k.ProjectId == projectId && k.WantedPieceId != null && k.ReleasedAt == null
                && k.Lines.Any(l => l.Hold.State == HoldState.Active && l.Hold.ExpiresAt > act.Now) && !k.Lines.Any(l => l.Hold.State == HoldState.TakenHome))
            .GroupBy(k => k.WantedPieceId!.Value).Select(g => new { g.Key, Pieces = g.Sum(k => k.Pieces) }).ToDictionaryAsync(g => g.Key, g => g.Pieces, act.Cancellation);
        var sums = await act.Db.PieceRecords.Where(r => r.ProjectId == projectId && r.WantedPieceId != null)
            .GroupBy(r => new { Wanted = r.WantedPieceId!.Value, r.KitId, r.Step }).Select(g => new { g.Key.Wanted, g.Key.KitId, g.Key.Step, Pieces = g.Sum(r => r.Pieces) })
            .ToListAsync(act.Cancellation);
        Guid[] done = await act.Db.Kits.In(KitState.Done, act.Db, act.Now).Where(k => k.ProjectId == projectId).Select(k => k.Id).ToArrayAsync(act.Cancellation);
        HashSet<Guid> over = [.. done];
        return wanted.ConvertAll(w =>
        {
            var mine = sums.Where(s => s.Wanted == w.Id).ToList();
            int Of(PieceStep step) => mine.Where(s => s.Step == step).Sum(s => s.Pieces);
            int making = mine.GroupBy(s => s.KitId).Sum(kit => InTheMaking(
                kit.Where(s => s.Step == PieceStep.Started).Sum(s => s.Pieces), kit.Where(s => s.Step == PieceStep.Finished).Sum(s => s.Pieces), kit.Key is { } id && over.Contains(id)));
            return new PieceProgress(w.Id, w.PieceId, w.Name, w.Wanted, kits.GetValueOrDefault(w.Id), making, Of(PieceStep.Finished), Of(PieceStep.Delivered));
        });
    }

    /// <summary>Of one kit, or of all without one. A kit of which nothing is left and something was made brings no more.</summary>
    private static int InTheMaking(int started, int finished, bool isOver) => isOver && finished > 0 ? 0 : Math.Max(0, started - finished);
}
