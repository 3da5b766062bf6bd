using GuildStash.Data.Stock;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Tests.Support;

/// <summary>Short ways to yarn in bins, all through the use cases.</summary>
internal static class StockRoom
{
    public static async Task<Guid> BagAsync(this GuildRoom room, decimal grams = 20_000, params string[] conditions)
    {
        LoggedGift gift = await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(grams, 0, conditions)] }, GuildRoom.Cancellation));
        return gift.Bags[0].Id;
    }

    public static Task<BinView> BinAsync(this GuildRoom room, string name, BinKind kind = BinKind.Shelf, decimal? litres = null) =>
        room.DoAsync<CreateBin, BinView>(u => u.RunAsync(room.Volunteer, new BinInput(name, kind, null, null, litres, null), GuildRoom.Cancellation));

    public static Task<LotView> LotAsync(this GuildRoom room, Guid bag, decimal? grams = 100, WeightClass? weight = WeightClass.Dk, Func<LotInput, LotInput>? more = null)
    {
        LotInput input = new() { Grams = grams, MassUnknown = grams is null, WeightClass = weight };
        return room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, bag, more is null ? input : more(input), GuildRoom.Cancellation));
    }

    public static Task<LotView> ReadAsync(this GuildRoom room, string code) =>
        room.DoAsync<InventoryReader, LotView>(u => u.LotAsync(room.Member, code, GuildRoom.Cancellation));

    /// <summary>A coordinator approves all that waits for a second person.</summary>
    public static async Task ApproveAllAsync(this GuildRoom room)
    {
        ApprovalDesk desk = await room.DoAsync<ApprovalReader, ApprovalDesk>(u => u.WaitingAsync(room.Coordinator, new PageRequest(), GuildRoom.Cancellation));
        foreach (ApprovalView waiting in desk.Waiting.Items)
        {
            await room.DoAsync<DecideApproval, Decided>(u => u.ApproveAsync(room.Coordinator, waiting.Id, waiting.Seen, null, GuildRoom.Cancellation));
        }
    }

    public static Task<PlacedRequest> HoldAsync(this GuildRoom room, string code, decimal grams) =>
        room.DoAsync<RequestHolds, PlacedRequest>(u => u.RunAsync(room.Member, new HoldInput([new WantedYarn(code, grams, null)]), GuildRoom.Cancellation));
}
