using GuildStash.Data.Stock;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Inventory;

/// <summary>What of a lot lies where.</summary>
internal static class LotPlace
{
    /// <summary>Milligrams in the lot's own bin. Returns that wait for inspection lie in a quarantine bin and were weighed there.</summary>
    public static async Task<long> InOwnBinMgAsync(Act act, Lot lot) => (await InOwnBinMgAsync(act, [lot]))[lot.Id];

    /// <summary>The same for many lots, in one question to the database at most.</summary>
    public static async Task<IReadOnlyDictionary<Guid, long>> InOwnBinMgAsync(Act act, IReadOnlyCollection<Lot> lots)
    {
        Guid[] apart = [.. lots.Where(lot => lot.QuarantineReason is not null).Select(lot => lot.Id)];
        Dictionary<Guid, long> waiting = apart.Length == 0
            ? []
            : await act.Db.LotReturns.Where(r => apart.Contains(r.LotId) && r.SettledAt == null)
                .GroupBy(r => r.LotId).Select(g => new { g.Key, Mg = g.Sum(r => r.Mg) }).ToDictionaryAsync(g => g.Key, g => g.Mg, act.Cancellation);
        return lots.ToDictionary(lot => lot.Id, lot => lot.QuarantineReason is null ? lot.OnHandMg - lot.QuarantinedMg : lot.OnHandMg - waiting.GetValueOrDefault(lot.Id));
    }
}
