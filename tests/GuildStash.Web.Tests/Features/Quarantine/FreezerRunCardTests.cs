using System.Globalization;
using Bunit;
using GuildStash.Domain.Quarantine;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Quarantine;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Quarantine;

/// <summary>The card of a freezer run: its form, and what stands on it afterwards.</summary>
public sealed class FreezerRunCardTests(PostgresFixture postgres) : DeskPages
{
    private static readonly DateTimeOffset In = DateTimeOffset.UtcNow.AddDays(-10);

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static async Task<FreezerRunView> RunAsync(DeskRoom room)
    {
        LotView lot = await room.LotAsync(200);
        await room.Guild.DoAsync<QuarantineLot, bool>(u => u.RunAsync(room.Volunteer, lot.Id, "Lay beside larvae.", null, [], Cancellation));
        await room.Guild.DoAsync<StartFreezerRun, Guid>(u => u.RunAsync(room.Volunteer, new FreezerRunInput("chest in the cellar", In, [], [lot.Id]), Cancellation));
        return await LookAsync(room);
    }

    private static async Task<FreezerRunView> LookAsync(DeskRoom room) =>
        Assert.Single((await room.Guild.DoAsync<FreezerReader, FreezerDesk>(u => u.RunAsync(room.Volunteer, new PageRequest(), Cancellation))).Runs.Items);

    /// <summary>As the browser's part of the framework hands it on: with seconds.</summary>
    private static string Wall(DateTimeOffset moment) => moment.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm':00'", CultureInfo.InvariantCulture);

    private async Task FillAsync(IRenderedComponent<FreezerRunCard> card, FreezerRunView run, string warmest)
    {
        string id = $"#run-{run.Id:N}-";
        await card.OnAsync("button", e => e.Click());
        await card.OnAsync(id + "out", e => e.Change(Wall(In.AddDays(8))));
        await card.OnAsync(id + "thawed", e => e.Change(Wall(In.AddDays(9))));
        await card.OnAsync(id + "warmest", e => e.Input(warmest));
        await card.OnAsync(id + "coldest", e => e.Input("-25"));
    }

    [Fact]
    public async Task Finish_WhenItWasTooWarm_IsBelowProtocolAndSaysWhy()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        FreezerRunView run = await RunAsync(room);
        Enter(room, room.Volunteer);
        List<string> said = [];
        IRenderedComponent<FreezerRunCard> card = Ui.Render<FreezerRunCard>(p => p.Add(c => c.Run, run).Add(c => c.OnDone, said.Add));
        Says(card, "in the freezer");
        Says(card, "chest in the cellar");

        await FillAsync(card, run, "-18.4");
        await card.OnAsync("form", e => e.Submit());
        card.WaitForElement($"#run-{run.Id:N}-result-error", RoomPages.Patience);
        Assert.Single(card.FindAll(".field-error"));
        Assert.Empty(said);
        await card.OnAsync($"#run-{run.Id:N}-result", e => e.Change("Nothing seen."));
        await card.OnAsync("form", e => e.Submit());

        card.WaitForAssertion(() => Assert.Equal(["The run is on record, below protocol. It counts as no treatment; freeze again, or wait."], said), RoomPages.Patience);
        FreezerRunView done = await LookAsync(room);
        card.Render(p => p.Add(c => c.Run, done));
        Says(card, "warmest −18.4 °C, coldest −25 °C");
        Says(card, "Below protocol; this counts as no treatment.");
        Says(card, "below protocol");
        Assert.DoesNotContain("-18", card.Markup, StringComparison.Ordinal);
        Assert.Empty(card.FindAll("form"));
    }

    [Fact]
    public async Task Finish_WhenInsectsAreSeen_CautionsAndSaysThatItStaysShut()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        FreezerRunView run = await RunAsync(room);
        Enter(room, room.Volunteer);
        List<string> said = [];
        IRenderedComponent<FreezerRunCard> card = Ui.Render<FreezerRunCard>(p => p.Add(c => c.Run, run).Add(c => c.OnDone, said.Add));

        await FillAsync(card, run, "-22");
        await card.OnAsync($"#run-{run.Id:N}-result", e => e.Change("Two larvae move."));
        card.WaitForElement("label.check", RoomPages.Patience);
        await card.InvokeAsync(() => card.FindAll("label.check input")[^1].Change(true));
        Says(card, "seal the bag, mark it, take it out of the room");
        await card.OnAsync("form", e => e.Submit());

        card.WaitForAssertion(() => Assert.Equal(["Insects are on record. Everything of this run stays shut and is discarded."], said), RoomPages.Patience);
        FreezerRunView done = await LookAsync(room);
        card.Render(p => p.Add(c => c.Run, done));
        Says(card, "insects seen");
        Says(card, "everything of this run stays shut, is not released, and leaves the room");
    }

    [Theory]
    [InlineData("de-DE", "−18,4")]
    [InlineData("sv-SE", "−18,4")]
    [InlineData("en-GB", "−18.4")]
    public void KnownSign_OfDegreesBelowZero_IsAMinus(string culture, string text)
    {
        Assert.Equal(text, FreezerWords.Celsius(-18.4m, new CultureInfo(culture)));
        Assert.Equal("0", FreezerWords.Celsius(0, new CultureInfo(culture)));
        Assert.Equal("0", FreezerWords.Celsius(-0.04m, new CultureInfo(culture)));
    }
}
