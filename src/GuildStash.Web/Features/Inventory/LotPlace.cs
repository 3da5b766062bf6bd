using GuildStash.Data.Stock;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Inventory;

/// <summary>What of a lot lies where.</summary>
internal static class LotPlace
{
    /// <summary>Milligrams in the lot's own bin. Returns that wait for inspection lie in a quarantine bin and were weighed there.</summary>
    public static async Task<long> InOwnBinMgAsync(Act act, Lot lot)
    {
        if (lot.QuarantineReason is null)
        {
            return lot.OnHandMg - lot.QuarantinedMg;
        }

        long waiting = await act.Db.LotReturns.Where(r => r.LotId == lot.Id && r.SettledAt == null).SumAsync(r => r.Mg, act.Cancellation);
        return lot.OnHandMg - waiting;
    }
}
