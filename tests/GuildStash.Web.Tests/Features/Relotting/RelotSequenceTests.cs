using GuildStash.Domain.Ledger;
using GuildStash.Domain.Relotting;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Relotting;

/// <summary>Whatever is split, merged, promised, handed over and brought back in whatever order: the books are clean and histories meet them.</summary>
public sealed class RelotSequenceTests(PostgresFixture postgres)
{
    private const int Steps = 45;

    private readonly Dictionary<string, int> _done = [];
    private readonly List<LotView> _lots = [];
    private readonly List<Guid> _homes = [];
    private readonly List<Guid> _holds = [];

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Roundtrip_RandomSequences_KeepEveryGram()
    {
        int seed = TestLength.Seed();
        TestContext.Current.TestOutputHelper?.WriteLine($"seed {seed}");
        Random random = new(seed);
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid project = await room.ProjectAsync();
        for (int i = 0; i < 4; i++)
        {
            _lots.Add(await room.LotAsync(100 + (50 * i)));
        }

        // Chance alone now and then drew too few of these two.
        for (int i = 0; i < 3; i++)
        {
            Did("split", await room.TrySplitAsync(_lots[i], 20), _lots.Add);
        }

        await MergeAsync(room, _lots[2], _lots[3]);
        for (int i = 0; i < Steps; i++)
        {
            await StepAsync(room, random, project);
        }

        long sorted = await room.AskAsync(db => db.Movements.Where(m => m.FromKind == PlaceKind.Bag).SumAsync(m => m.Mg, Cancellation));
        Assert.Equal(700_000, sorted);
        foreach (LotView lot in _lots)
        {
            FlowView view = await room.HistoryAsync(lot);
            Assert.False(view.HasMore, $"seed {seed}");
            await room.AssertMeetsBooksAsync(view);
            FlowGraph graph = view.Book.Graph;
            Assert.Equal(graph.Nodes.Where(n => graph.Into(n) == 0).Sum(graph.OutOf), graph.Nodes.Where(n => graph.OutOf(n) == 0).Sum(graph.Into));
            Assert.Equal(graph.Nodes.Count, StrandLayout.Of(graph).Bars.Count);
        }

        Assert.True(_done.GetValueOrDefault("split") > 2 && _done.GetValueOrDefault("merge") > 0, $"seed {seed}: {string.Join(", ", _done)}");
    }

    private async Task StepAsync(DeskRoom room, Random random, Guid project)
    {
        LotView lot = await room.LookAsync(_lots[random.Next(_lots.Count)]);
        decimal grams = random.Next(5, 120);
        switch (random.Next(8))
        {
            case 0 or 1:
                Did("split", await room.TrySplitAsync(lot, grams), _lots.Add);
                break;
            case 2:
                await MergeAsync(room, lot, _lots[random.Next(_lots.Count)]);
                break;
            case 3:
                Did("hold", await room.TryHoldAsync(room.Member, new HoldInput([new WantedYarn(lot.Code, grams, null)], project)), p => _holds.Add(p.Holds[0].Id));
                break;
            case 4:
                Did("take", await room.TryHandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: room.OtherMember, Grams: grams, WholeLot: false)), h => _homes.Add(h.Id));
                break;
            case 5 when _holds.Count > 0:
                Did("take held", await room.TryHandOverAsync(new HandOverInput(HoldId: _holds[random.Next(_holds.Count)])), h => _homes.Add(h.Id));
                break;
            case 6 when _homes.Count > 0:
                Did("back", await room.TryTakeBackAsync(_homes[random.Next(_homes.Count)], new ReturnInput(random.Next(1, 30), random.Next(3) == 0 ? null : [], IsAll: random.Next(4) == 0)), _ => { });
                break;
            default:
                Did("undo", await room.Guild.UseAsync<UndoSplit, Outcome<LotView>>(u => u.RunAsync(room.Volunteer, lot.Id, Cancellation)), _ => { });
                break;
        }
    }

    private async Task MergeAsync(DeskRoom room, LotView lot, LotView other)
    {
        Outcome<Guid> asked = await room.TryAskMergeAsync(lot, [other]);
        if (asked.IsOk)
        {
            Assert.True((await room.ApproveAsync(asked.Value)).IsOk);
        }

        Did("merge", asked, _ => { });
    }

    private void Did<T>(string what, Outcome<T> outcome, Action<T> then)
    {
        if (outcome.IsOk)
        {
            _done[what] = _done.GetValueOrDefault(what) + 1;
            then(outcome.Value);
        }
    }
}
