using GuildStash.Data;
using GuildStash.Data.Stock;
using GuildStash.Domain.Ledger;

namespace GuildStash.Web.Features.Sorting;

/// <summary>The lots that really came out of a bag.</summary>
internal static class SortedLots
{
    /// <summary>All lots but those entered by mistake, which were taken back into their bag and keep only their code.</summary>
    public static IQueryable<Lot> Of(GuildDbContext db) =>
        db.Lots.Where(l => l.ClosedAt == null
            || (l.MassKnown && !db.Movements.Any(m => m.LotId == l.Id
                && (m.Reason == MovementReason.EnteredByMistake || (m.Reason == MovementReason.SplitUndone && m.ToKind == PlaceKind.Relotted)))));
}
