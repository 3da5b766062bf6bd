using GuildStash.Domain.Relotting;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Relotting;

/// <summary>Splits, merges and histories in one line each.</summary>
internal static class RelotRoom
{
    public static Task<Outcome<LotView>> TrySplitAsync(this DeskRoom room, LotView lot, decimal? grams, int? balls = null, string? bin = null) =>
        room.Guild.UseAsync<SplitLot, Outcome<LotView>>(u => u.RunAsync(room.Volunteer, lot.Id, new SplitInput(grams, balls, null, bin, "For two projects"), GuildRoom.Cancellation));

    /// <summary>A split that must succeed.</summary>
    public static async Task<LotView> SplitAsync(this DeskRoom room, LotView lot, decimal? grams, int? balls = null)
    {
        Outcome<LotView> split = await room.TrySplitAsync(lot, grams, balls);
        Assert.True(split.IsOk, string.Join(" ", split.Refusals));
        return split.Value;
    }

    public static Task<Outcome<Guid>> TryAskMergeAsync(this DeskRoom room, LotView left, IReadOnlyList<LotView> others, params string[] agreed) =>
        room.Guild.UseAsync<AskMerge, Outcome<Guid>>(u => u.RunAsync(room.Volunteer, new MergeInput(left.Code, [.. others.Select(l => l.Code)], agreed, "They lie together"), GuildRoom.Cancellation));

    public static Task<Outcome<Decided>> ApproveAsync(this DeskRoom room, Guid approval) =>
        room.Guild.UseAsync<DecideApproval, Outcome<Decided>>(u => u.ApproveAsync(room.Coordinator, approval, null, null, GuildRoom.Cancellation));

    /// <summary>A merge that must succeed.</summary>
    public static async Task<LotView> MergeAsync(this DeskRoom room, LotView left, IReadOnlyList<LotView> others, params string[] agreed)
    {
        Outcome<Guid> asked = await room.TryAskMergeAsync(left, others, agreed);
        Assert.True(asked.IsOk, string.Join(" ", asked.Refusals));
        Outcome<Decided> done = await room.ApproveAsync(asked.Value);
        Assert.True(done.IsOk, string.Join(" ", done.Refusals));
        return await room.LookAsync(left);
    }

    public static Task<FlowView> HistoryAsync(this DeskRoom room, LotView lot) =>
        room.Guild.DoAsync<FlowReader, FlowView>(u => u.OfLotAsync(room.Volunteer, lot.Code, GuildRoom.Cancellation));

    public static Task<LabelledLot> ScanAsync(this DeskRoom room, string code) =>
        room.Guild.DoAsync<LabelReader, LabelledLot>(u => u.RunAsync(room.Member, code, GuildRoom.Cancellation));

    /// <summary>What comes into every lot and home leaves it, and what is left is what the tables have.</summary>
    public static async Task AssertMeetsBooksAsync(this DeskRoom room, FlowView view)
    {
        FlowGraph graph = view.Book.Graph;
        Assert.All(graph.Nodes.Where(n => n.Kind is FlowNodeKind.Lot or FlowNodeKind.Home), n => Assert.Equal(graph.Into(n), graph.OutOf(n)));
        Guid[] lots = [.. graph.Nodes.Where(n => n.Kind == FlowNodeKind.Lot).Select(n => n.Id).Distinct()];
        await room.AskAsync(db =>
        {
            foreach (var lot in db.Lots.Where(l => lots.Contains(l.Id)).Select(l => new { l.Id, l.Code, l.OnHandMg, Home = db.Checkouts.Where(c => c.LotId == l.Id).Sum(c => c.AtHomeMg) }).ToList())
            {
                Assert.Equal((lot.Code, lot.OnHandMg), (lot.Code, graph.Into(new(FlowNodeKind.InRoom, lot.Id))));
                Assert.Equal((lot.Code, lot.Home), (lot.Code, graph.Nodes.Where(n => n.Kind == FlowNodeKind.AtHome && n.Id == lot.Id).Sum(graph.Into)));
            }

            return Task.FromResult(0);
        });
        foreach (IGrouping<FlowKey, FlowStep> into in view.Book.Steps.GroupBy(s => s.To).Where(g => g.Key.Kind == FlowNodeKind.Lot))
        {
            Assert.Equal(into.Sum(s => s.Mg), view.Book.Steps.Where(s => s.From == into.Key).Sum(s => s.Mg));
        }
    }
}
