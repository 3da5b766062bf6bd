using GuildStash.Data.Stock;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.HandOver;

internal static class ReturnShelf
{
    /// <summary>
    /// The open bin to which leftovers of a locked lot go: the lot's own, or the sorting table where that bin was closed while
    /// nothing of the lot was in the room.
    /// </summary>
    public static async Task<Outcome<Bin>> FindAsync(Act act, Lot lot)
    {
        if (lot.Bin is { ClosedAt: null, IsQuarantine: false })
        {
            return lot.Bin;
        }

        Outcome<Bin> table = await BinFinder.OpenShelfAsync(act, null, "binCode");
        if (table.IsOk)
        {
            lot.Bin = table.Value;
            lot.BinId = table.Value.Id;
        }

        return table;
    }
}
