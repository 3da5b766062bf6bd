using GuildStash.Data.Ledger;
using GuildStash.Domain.Projects;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.HandOver;

/// <summary>The kit that yarn at home belongs to.</summary>
/// <param name="Finished">Pieces, by its records.</param>
/// <param name="IsLast">Nothing else of it is at home or waits to be handed over.</param>
public sealed record AtHomeKit(string Number, string PieceName, int Pieces, int Finished, bool IsLast)
{
    /// <summary>Pieces of which nobody wrote down that they are finished.</summary>
    public int Unsaid => Math.Max(0, Pieces - Finished);

    /// <summary>Who books it as used up is asked for the pieces.</summary>
    public bool AsksForPieces => IsLast && Unsaid > 0;
}

internal static class AtHomeKits
{
    /// <summary>The kits of a page of checkouts by their holds, in one query.</summary>
    public static async Task<Dictionary<Guid, AtHomeKit>> ReadAsync(Act act, IEnumerable<Guid?> holdIds)
    {
        Guid[] holds = [.. holdIds.OfType<Guid>()];
        return holds.Length == 0
            ? []
            : await act.Db.KitLines.Where(l => holds.Contains(l.HoldId))
                .Join(act.Db.Kits, l => l.KitId, k => k.Id, (l, k) => new
                {
                    l.HoldId,
                    k.Number,
                    k.PieceName,
                    k.Pieces,
                    Finished = act.Db.PieceRecords.Where(r => r.KitId == k.Id && r.Step == PieceStep.Finished).Sum(r => r.Pieces),
                    IsLast = !act.Db.KitLines.Any(o => o.KitId == k.Id && o.Id != l.Id
                        && ((o.Hold.State == HoldState.Active && o.Hold.ExpiresAt > act.Now) || act.Db.Checkouts.Any(c => c.HoldId == o.HoldId && c.ClosedAt == null))),
                })
                .ToDictionaryAsync(x => x.HoldId, x => new AtHomeKit(x.Number, x.PieceName, x.Pieces, x.Finished, x.IsLast), act.Cancellation);
    }
}
