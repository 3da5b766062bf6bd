using System.Globalization;
using Bunit;
using GuildStash.Data.Quarantine;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Quarantine;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Quarantine;

/// <summary>The page on which freezer runs begin and end, on a real database.</summary>
public sealed class FreezerPageTests(PostgresFixture postgres) : DeskPages
{
    private static readonly DateTimeOffset In = DateTimeOffset.UtcNow.AddDays(-10);

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Start_WhenNothingOrTheFutureIsChosen_IsRefusedAndKeepsWhatWasTicked()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Volunteer);
        IRenderedComponent<FreezerPage> none = Open<FreezerPage>("/freezer");
        Says(none, "Nothing that is kept apart waits for the freezer.");
        Says(none, "No run is on record yet.");
        Assert.Empty(none.FindAll("form"));

        await ApartAsync(room);
        IRenderedComponent<FreezerPage> page = Open<FreezerPage>("/freezer");
        await page.OnAsync("#freezer-start", e => e.Submit());
        Says(page, "Choose at least one bag or lot that is in quarantine.");
        await page.OnAsync(".candidates input", e => e.Change(true));
        await page.OnAsync("#freezer-in", e => e.Change(Wall(DateTimeOffset.UtcNow.AddDays(1))));
        await page.OnAsync("#freezer-start", e => e.Submit());

        Says(page, "#freezer-in-error", "The bags can't go in in the future. Enter when they went in.");
        Assert.True(page.Find(".candidates input").HasAttribute("checked"));
        Assert.Equal(0, await room.AskAsync(db => db.FreezerRuns.CountAsync(Cancellation)));
    }

    [Fact]
    public async Task Start_WhenABagAndALotAreApart_PutsInWhatIsTickedAndTellsWhatCameOfIt()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await ApartAsync(room);
        await room.Guild.BagAsync(3000, "damp");
        Enter(room, room.Volunteer);
        IRenderedComponent<FreezerPage> page = Open<FreezerPage>("/freezer");

        // Cotton is not eaten by moths; of a bag nobody knows.
        page.WaitForAssertion(() => Assert.Equal(2, page.FindAll(".candidates label").Count), RoomPages.Patience);
        Assert.Contains("bag, fibre unknown · 3 kg", Words([page.FindAll(".candidates label")[0]]), StringComparison.Ordinal);
        Assert.Contains($"{lot.Display} not eaten by moths · 200 g", Words([page.FindAll(".candidates label")[1]]), StringComparison.Ordinal);
        await page.InvokeAsync(() => page.FindAll(".candidates input")[0].Change(true));
        await page.InvokeAsync(() => page.FindAll(".candidates input")[1].Change(true));
        await page.InvokeAsync(() => page.FindAll(".candidates input")[0].Change(false));
        await page.OnAsync("#freezer-name", e => e.Change("chest in the cellar"));
        await page.OnAsync("#freezer-in", e => e.Change(Wall(In)));
        await page.OnAsync("#freezer-start", e => e.Submit());

        Says(page, ".panel.good", "The run has begun. Leave the freezer shut, and come back when its days are over.");
        FreezerRun run = await room.AskAsync(db => db.FreezerRuns.Include(r => r.Loads).AsNoTracking().SingleAsync(Cancellation));
        Assert.Equal(("chest in the cellar", Wall(In)), (run.Freezer, Wall(run.InAt)));
        Assert.Equal([(null, (Guid?)lot.Id)], run.Loads.Select(l => (l.BagId, l.LotId)));
        page.WaitForAssertion(() => Assert.Single(page.FindAll(".candidates label")), RoomPages.Patience);
        Assert.False(page.Find(".candidates input").HasAttribute("checked"));

        string id = $"#run-{run.Id:N}-";
        await PressAsync(page, $"Take out and inspect {lot.Display}");
        await page.OnAsync(id + "out", e => e.Change(Wall(In.AddDays(8))));
        await page.OnAsync(id + "result", e => e.Change("Nothing seen."));
        await page.OnAsync(id + "finish", e => e.Submit());

        Says(page, ".panel.good", "The run is on record, below protocol. It counts as no treatment; freeze again, or wait.");
        page.WaitForAssertion(() => Assert.Contains("below protocol", Words(page.FindAll(".freezer-run h3")), StringComparison.Ordinal), RoomPages.Patience);
        page.WaitForAssertion(() => Assert.Equal(2, page.FindAll(".candidates label").Count), RoomPages.Patience);
        Assert.Empty(page.FindAll(".candidates input[checked]"));
    }

    private static async Task<LotView> ApartAsync(DeskRoom room)
    {
        LotView lot = await room.LotAsync(200);
        await room.Guild.DoAsync<QuarantineLot, bool>(u => u.RunAsync(room.Volunteer, lot.Id, "Lay beside larvae.", null, [], Cancellation));
        return lot;
    }

    /// <summary>As the browser's part of the framework hands it on: with seconds.</summary>
    private static string Wall(DateTimeOffset moment) => moment.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm':00'", CultureInfo.InvariantCulture);
}
