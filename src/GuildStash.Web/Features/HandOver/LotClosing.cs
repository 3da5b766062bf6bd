using GuildStash.Data.Stock;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.HandOver;

/// <summary>A lot of which nothing is in the room is closed; leftovers open it again.</summary>
internal static class LotClosing
{
    /// <summary>Saves what is pending, reads the balance and closes the lot when it is empty. The lot must be locked.</summary>
    public static async Task CloseIfEmptyAsync(Act act, Lot lot)
    {
        await act.Db.SaveChangesAsync(act.Cancellation);
        await act.Db.Entry(lot).ReloadAsync(act.Cancellation);
        if (lot.OnHandMg > 0 || lot.ClosedAt is not null)
        {
            return;
        }

        lot.ClosedAt = act.Now;
        lot.ChangedAt = act.Now;
        lot.ChangedById = act.By.Id;
        lot.Version++;
        await act.Db.SaveChangesAsync(act.Cancellation);
    }
}
