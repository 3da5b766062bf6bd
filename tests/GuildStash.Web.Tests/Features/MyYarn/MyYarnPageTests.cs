using Bunit;
using GuildStash.Data.Ledger;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Features.MyYarn;
using GuildStash.Web.Tests.Features.Kits;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.MyYarn;

/// <summary>What a member sees of their own, on a real database.</summary>
public sealed class MyYarnPageTests(PostgresFixture postgres) : DeskPages
{
    [Fact]
    public async Task Show_WhenThereIsNothing_SaysWhatComesFirst()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await room.HoldAsync(await room.LotAsync(150), 60, by: room.OtherMember);
        Enter(room, room.Member);

        IRenderedComponent<MyYarnPage> page = Open<MyYarnPage>("/my-yarn");

        Says(page, "No yarn yet");
        Assert.Empty(page.FindAll("article"));
    }

    [Fact]
    public async Task Keep_WhenMoreDaysAreAsked_AddsThemToWhatIsLeft()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        PlacedHold hold = await room.HoldAsync(lot, 60);
        Enter(room, room.Member);
        IRenderedComponent<MyYarnPage> page = Open<MyYarnPage>("/my-yarn");

        await PressAsync(page, $"Keep it 14 more days lot {lot.Display}");

        Says(page, $"Lot {lot.Display} is kept for you until");
        Assert.Equal(28, ((await room.HoldRowAsync(hold.Id)).ExpiresAt - DateTimeOffset.UtcNow).TotalDays, 0.1);
    }

    [Fact]
    public async Task Cancel_WhenNotWantedAnyMore_FreesTheYarn()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        PlacedHold hold = await room.HoldAsync(lot, 60);
        Enter(room, room.Member);
        IRenderedComponent<MyYarnPage> page = Open<MyYarnPage>("/my-yarn");

        await PressAsync(page, $"Cancel the hold on lot {lot.Display}");
        Says(page, $"60 g of lot {lot.Display} are then free for others at once.");
        await PressAsync(page, "No");
        page.WaitForAssertion(() => Assert.Empty(page.FindAll(".answer")), RoomPages.Patience);
        await PressAsync(page, $"Cancel the hold on lot {lot.Display}");
        Says(page, "This can't be taken back.");
        Assert.Equal(HoldState.Active, (await room.HoldRowAsync(hold.Id)).State);
        await PressAsync(page, $"Yes, cancel it the hold on lot {lot.Display}");

        Says(page, "its yarn is free again");
        Assert.Equal(HoldState.Cancelled, (await room.HoldRowAsync(hold.Id)).State);
    }

    [Fact]
    public async Task Leave_WhenAKitWasTakenByMistake_GivesItBackToAll()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.KitAsync([(await room.Desk.LotAsync(150), 100)]);
        Enter(room.Desk, room.Desk.Member);
        IRenderedComponent<MyYarnPage> page = Open<MyYarnPage>("/my-yarn");

        page.WaitForAssertion(() => Assert.Equal(["Kept for you", "At home", "Kits that nobody makes yet"], page.FindAll("h2").Select(h => h.TextContent)), RoomPages.Patience);
        await PressAsync(page, $"I'll make this {kit.Number}");
        Says(page, $"Kit {kit.Number} is yours to make.");
        page.WaitForAssertion(() => Assert.Equal(["My kits", "Kept for you", "At home"], page.FindAll("h2").Select(h => h.TextContent)), RoomPages.Patience);
        await PressAsync(page, $"I can't make it after all {kit.Number}");

        Says(page, $"Kit {kit.Number} is shown to all again.");
        Assert.True((await room.LookAsync(kit.Number)).IsOpen);
    }

    [Fact]
    public async Task Mark_WhenAHoldLapsesSoonOrYarnIsLate_SaysSoInWords()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        PlacedHold hold = await room.HoldAsync(lot, 60);
        HandedOver taken = await room.TakenHomeAsync(lot, 40);
        await room.OwnerSqlAsync($"update hold set expires_at = now() + interval '1 day' where id = {hold.Id}");
        await room.OwnerSqlAsync($"update checkout set due_on = current_date - 2 where id = {taken.Id}");
        Enter(room, room.Member);

        IRenderedComponent<MyYarnPage> page = Open<MyYarnPage>("/my-yarn");

        page.WaitForAssertion(() => Assert.Equal(2, page.FindAll(".status.caution").Count), RoomPages.Patience);
        Assert.StartsWith("lapses ", page.FindAll(".status.caution")[0].TextContent, StringComparison.Ordinal);
        Assert.StartsWith("late since ", page.FindAll(".status.caution")[1].TextContent, StringComparison.Ordinal);
    }

    [Fact]
    public async Task UseUp_WhenConfirmed_BooksItForTheProject()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        await room.TakenHomeAsync(lot, 40, await room.ProjectAsync());
        Enter(room, room.Member);
        IRenderedComponent<MyYarnPage> page = Open<MyYarnPage>("/my-yarn");
        Says(page, ".home b", "40 g at least 61 yd");

        await PressAsync(page, $"Used up lot {lot.Display}");
        Says(page, "40 g are then booked as worked into the pieces.");
        Assert.Equal(0, await room.BalanceAsync(lot, Domain.Ledger.PlaceKind.Project));
        await PressAsync(page, $"Yes, nothing is left lot {lot.Display}");

        Says(page, $"Lot {lot.Display} is booked as used up. Thank you.");
        Assert.Equal(40_000, await room.BalanceAsync(lot, Domain.Ledger.PlaceKind.Project));
    }

    [Fact]
    public async Task UseUp_WhenItWasForNoProject_IsTheMembers()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        await room.TakenHomeAsync(lot, 40);
        Enter(room, room.Member);
        IRenderedComponent<MyYarnPage> page = Open<MyYarnPage>("/my-yarn");

        await PressAsync(page, $"Used up lot {lot.Display}");
        await PressAsync(page, $"Yes, nothing is left lot {lot.Display}");

        Says(page, $"Lot {lot.Display} is booked as yours. Thank you.");
    }

    [Fact]
    public async Task Extend_WhenADayIsChosen_IsCheckedAndKept()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        HandedOver taken = await room.TakenHomeAsync(lot, 40);
        Enter(room, room.Member);
        IRenderedComponent<MyYarnPage> page = Open<MyYarnPage>("/my-yarn");
        string form = $"#more-{taken.Id:N}";

        await PressAsync(page, $"I need more time lot {lot.Display}");
        await page.OnAsync($"{form}-day", e => e.Change("2020-01-01"));
        await page.OnAsync(form, e => e.Submit());
        page.WaitForElement($"{form}-day-error", RoomPages.Patience);
        Assert.Equal(taken.DueOn, (await room.CheckoutRowAsync(taken.Id)).DueOn);
        DateOnly day = taken.DueOn.AddDays(17);
        await page.OnAsync($"{form}-day", e => e.Change(day.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture)));
        await page.OnAsync(form, e => e.Submit());

        Says(page, $"Lot {lot.Display} may stay with you until");
        Assert.Equal(day, (await room.CheckoutRowAsync(taken.Id)).DueOn);
    }

    [Fact]
    public async Task Show_WhenThePseudoLanguageIsUsed_EveryTextIsLocalised()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        await room.HoldAsync(lot, 20, project: await room.ProjectAsync());
        await room.TakenHomeAsync(lot, 40);
        Read(GuildStash.Web.Infrastructure.Localisation.PseudoLanguage.CultureName);
        Enter(room, room.Member);
        IRenderedComponent<MyYarnPage> page = Open<MyYarnPage>("/my-yarn");

        await page.OnAsync(".home .buttons button:nth-child(1)", e => e.Click());
        page.WaitForElement(".answer > p", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(page.Markup));
        await page.OnAsync(".home .buttons button:nth-child(2)", e => e.Click());
        page.WaitForElement(".answer form", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(page.Markup));
    }
}
