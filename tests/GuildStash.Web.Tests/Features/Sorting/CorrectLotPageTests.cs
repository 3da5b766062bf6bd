using Bunit;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Sorting;

/// <summary>What is known about a lot, put right on its own page, whatever became of its bag.</summary>
public sealed class CorrectLotPageTests(PostgresFixture postgres) : DeskPages
{
    [Fact]
    public async Task Correct_WhenTheBagWasClosedLongAgo_ChangesTheLotAndNoOther()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await ClosedBagsLotAsync(room);
        int lots = await room.AskAsync(db => db.Lots.CountAsync(GuildRoom.Cancellation));
        IRenderedComponent<CorrectLotPage> page = OpenOf(room, lot);
        Assert.NotEmpty(page.FindAll("fieldset[disabled] #grams"));
        Assert.Contains("weigh the lot again or put it into another bin on its own page", Words(page.FindAll("#ball")), StringComparison.Ordinal);

        await page.OnAsync("[id='wraps.count']", e => e.Input("9"));
        await page.OnAsync("#dyeLot", e => e.Input("A41"));
        await page.OnAsync("#ball", e => e.Submit());

        Says(page, ".said", $"{lot.Display} was changed. Its label says what was known before. To the lot · Print its label anew");
        LotView now = await room.LookAsync(lot);
        Assert.Equal((9, "A41", lot.OnHandMg, lot.BinCode), (now.Wraps?.Count, now.DyeLot, now.OnHandMg, now.BinCode));
        Assert.NotEqual(lot.WeightClass, now.WeightClass);
        Assert.Equal(lots, await room.AskAsync(db => db.Lots.CountAsync(GuildRoom.Cancellation)));
    }

    [Fact]
    public async Task Correct_WhenSomebodyElseWasFaster_SaysSoAndLoadsThePresentState()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await ClosedBagsLotAsync(room);
        IRenderedComponent<CorrectLotPage> page = OpenOf(room, lot);
        await room.OwnerSqlAsync($"update lot set version = version + 1, dye_lot = 'B7' where id = {lot.Id}");

        await page.OnAsync("#dyeLot", e => e.Input("A41"));
        await page.OnAsync("#ball", e => e.Submit());

        Says(page, "Somebody else changed this lot meanwhile.");
        Assert.Equal("B7", (await room.LookAsync(lot)).DyeLot);
        await PressAsync(page, "Load the present state");
        page.WaitForAssertion(() => Assert.Equal("B7", page.Find("#dyeLot").GetAttribute("value")), RoomPages.Patience);
        await page.OnAsync("#dyeLot", e => e.Input("A41"));
        await page.OnAsync("#ball", e => e.Submit());
        Says(page, "was changed.");
        Assert.Equal("A41", (await room.LookAsync(lot)).DyeLot);
    }

    [Fact]
    public async Task Leave_WhenNothingIsToBeKept_GoesBackToTheLotWithoutADraft()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await ClosedBagsLotAsync(room);
        IRenderedComponent<CorrectLotPage> page = OpenOf(room, lot);
        await page.OnAsync("#dyeLot", e => e.Input("A41"));
        await page.InvokeAsync(() => page.FindComponent<GuildStash.Web.Features.Drafts.DraftKeeper<BenchDraft>>().Instance.SaveAsync());
        Assert.Equal($"lot:{lot.Id}", await room.AskAsync(db => db.Drafts.Select(d => d.Form).SingleAsync(GuildRoom.Cancellation)));

        await PressAsync(page, "Leave it as it was");

        page.WaitForAssertion(() => Assert.EndsWith($"/inventory/{lot.Code}", Navigation.Uri, StringComparison.Ordinal), RoomPages.Patience);
        Assert.False(await room.AskAsync(db => db.Drafts.AnyAsync(GuildRoom.Cancellation)));
        Assert.NotEqual("A41", (await room.LookAsync(lot)).DyeLot);
    }

    [Fact]
    public async Task Open_WhenThereIsNoSuchLot_SaysSo()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Volunteer);

        Says(Open<CorrectLotPage>("/inventory/K7M4P9U/correct", p => p.Add(c => c.Code, "K7M4P9U")), ".empty h1", "There is no such lot");
    }

    [Fact]
    public async Task Say_WhenInThePseudoLanguage_NothingStaysInEnglish()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await ClosedBagsLotAsync(room);
        Read(PseudoLanguage.CultureName);

        Assert.Empty(UntranslatedText.Find(OpenOf(room, lot).Markup));
    }

    private static async Task<LotView> ClosedBagsLotAsync(DeskRoom room)
    {
        Guid bag = await room.Guild.BagAsync(100);
        LotView lot = await room.Guild.LotAsync(bag, 100, weight: null, more: l => l with { Wraps = new WrapsInput(14, 1) });
        await room.Guild.DoAsync<CloseBag, ClosedBag>(u => u.RunAsync(room.Volunteer, bag, GuildRoom.Cancellation));
        return await room.LookAsync(lot);
    }

    private IRenderedComponent<CorrectLotPage> OpenOf(DeskRoom room, LotView lot)
    {
        Enter(room, room.Volunteer);
        IRenderedComponent<CorrectLotPage> page = Open<CorrectLotPage>($"/inventory/{lot.Code}/correct", p => p.Add(c => c.Code, lot.Code));
        page.WaitForElement("#ball", RoomPages.Patience);
        return page;
    }
}
