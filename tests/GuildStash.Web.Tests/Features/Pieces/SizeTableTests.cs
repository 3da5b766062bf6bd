using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Pieces;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Pieces;

/// <summary>Editions of the size table: the newest counts, none is lost.</summary>
public sealed class SizeTableTests(PostgresFixture postgres)
{
    private const string Own = "head,tall child,47,48,cm,own\nyarn,short scarf,150,180,m,\"weighed, 2026\"";

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Save_WhenRead_TheNewestEditionCountsAndEarlierOnesComeBack()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        SizesInForce at = await ReadAsync(room);
        Assert.Equal((0, PieceSizes.Default.Rows.Count), (at.Edition, at.Sizes.Rows.Count));

        int first = (await SaveAsync(room, 0, Own)).Value;
        at = await ReadAsync(room);
        Assert.Equal((first, false), (at.Edition, at.IsStandard));
        Assert.Equal([new PieceSize("head", "tall child", 47, 48, "cm", "own"), new PieceSize("yarn", "short scarf", 150, 180, "m", "weighed, 2026")], at.Sizes.Rows);

        int second = (await SaveAsync(room, first, "head,man,56,58,cm,own")).Value;
        int back = (await BackAsync(room, second, first)).Value;
        at = await ReadAsync(room);
        Assert.Equal((back, 2), (at.Edition, at.Sizes.Rows.Count));
        Assert.Equal([(back, 2), (second, 1), (first, 2), (0, PieceSizes.Default.Rows.Count)], at.History.Select(e => (e.Id, e.Rows)));

        int standard = (await BackAsync(room, back, 0)).Value;
        at = await ReadAsync(room);
        Assert.Equal(PieceSizes.Default.Rows, at.Sizes.Rows);
        Assert.Equal(standard, at.Edition);
    }

    [Fact]
    public async Task Invalid_WhenARowCanNotBeOrTheTableWasChanged_SavesNothing()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);

        Refuse.Rule("invalid-value", "sizes", await SaveAsync(room, 0, ""));
        Refuse.Rule("invalid-value", "sizes", await SaveAsync(room, 0, new string('#', 200_001)));
        Outcome<int> lines = await SaveAsync(room, 0, "head,man,56,58,cm,own\nhead,child,45,40,cm,own\nfoot,ankle,20,21,cm,own");
        Assert.Equal(["\"child\": \"45\" to \"40\" is no range", "\"ankle\" is about \"foot\""], lines.Refusals.Select(r => r.ToString().Split(['.', ';'])[0]));
        Refuse.Rule("not-found", await BackAsync(room, 0, 77));
        Outcome<int>[] race = await Task.WhenAll(Enumerable.Range(0, 4).Select(_ => Task.Run(() => SaveAsync(room, 0, Own))));
        Assert.Single(race, outcome => outcome.IsOk);
        Assert.All(race.Where(outcome => !outcome.IsOk), outcome => Refuse.Rule("changed-meanwhile", outcome));
        Assert.Equal(2, (await ReadAsync(room)).History.Count);
    }

    private static Task<SizesInForce> ReadAsync(DeskRoom room) => room.Guild.DoAsync<PieceSizesReader, SizesInForce>(u => u.RunAsync(room.Member, Cancellation));

    private static Task<Outcome<int>> SaveAsync(DeskRoom room, int edition, string lines) =>
        room.Guild.UseAsync<SavePieceSizes, Outcome<int>>(u => u.RunAsync(room.Coordinator, edition, lines, Cancellation));

    private static Task<Outcome<int>> BackAsync(DeskRoom room, int edition, int back) =>
        room.Guild.UseAsync<SavePieceSizes, Outcome<int>>(u => u.GoBackAsync(room.Coordinator, edition, back, Cancellation));
}
