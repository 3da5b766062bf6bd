using Bunit;
using GuildStash.Data.Ledger;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.HandOver;

/// <summary>The desk as a volunteer works at it, on a real database.</summary>
public sealed class HandOverPageTests(PostgresFixture postgres) : DeskPages
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task HandOver_WhenTheScaleShowsLess_BooksThatAndSaysSo()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        PlacedHold hold = await room.HoldAsync(lot, 60);
        Enter(room, room.Volunteer);
        IRenderedComponent<HandOverPage> page = Open<HandOverPage>("/hand-over");
        Says(page, ".promised", "60 g promised, at least 92 yd");

        await page.OnAsync($"#hold-{hold.Id:N}", e => e.Submit());
        Says(page, $"#hold-{hold.Id:N}-grams-error", "Enter the grams that the scale shows.");
        Assert.Equal(HoldState.Active, (await room.HoldRowAsync(hold.Id)).State);
        await page.OnAsync($"#hold-{hold.Id:N}-grams", e => e.Input("58"));
        Says(page, ".whole p", "92 g stay in the bin.");
        await page.OnAsync($"#hold-{hold.Id:N}", e => e.Submit());

        Says(page, $"58 g of lot {lot.Display} are handed over, due back or used by");
        Says(page, "Nobody waits");
        Assert.Equal(92_000, (await room.LookAsync(lot)).FreeMg);
    }

    [Fact]
    public async Task HandOver_WhenMilligramsWerePromised_TheFieldExpectsATenthOfAGram()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        PlacedHold hold = await room.HoldAsync(await room.LotAsync(150), 36.951m);
        Enter(room, room.Volunteer);

        IRenderedComponent<HandOverPage> page = Open<HandOverPage>("/hand-over");

        Assert.Equal("37", page.WaitForElement($"#hold-{hold.Id:N}-grams", RoomPages.Patience).GetAttribute("placeholder"));
    }

    [Fact]
    public async Task HandOver_WhenAllOfTheLotWasPromised_TheWholeLotIsTickedAndCloses()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(60);
        PlacedHold hold = await room.HoldAsync(lot, 60);
        Enter(room, room.Volunteer);
        IRenderedComponent<HandOverPage> page = Open<HandOverPage>("/hand-over");

        await page.OnAsync($"#hold-{hold.Id:N}-grams", e => e.Input("58,5"));
        page.WaitForElement($"#hold-{hold.Id:N}-whole[checked]", RoomPages.Patience);
        await page.OnAsync($"#hold-{hold.Id:N}", e => e.Submit());

        Says(page, "The lot is closed; 1.5 g are booked as the weighing difference.");
        Assert.Equal(LotStatus.Closed, (await room.LookAsync(lot)).Status);
    }

    [Fact]
    public async Task HandOver_WhenAllWasPromisedAndFarLessIsOnTheScale_APartLeaves()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(60);
        PlacedHold hold = await room.HoldAsync(lot, 60);
        Enter(room, room.Volunteer);
        IRenderedComponent<HandOverPage> page = Open<HandOverPage>("/hand-over");
        page.WaitForElement($"#hold-{hold.Id:N}-whole[checked]", RoomPages.Patience);

        await page.OnAsync($"#hold-{hold.Id:N}-grams", e => e.Input("20"));
        Says(page, ".whole p", "40 g stay in the bin.");
        await page.OnAsync($"#hold-{hold.Id:N}", e => e.Submit());

        Says(page, $"20 g of lot {lot.Display} are handed over");
        Assert.Equal(40_000, (await room.LookAsync(lot)).FreeMg);
    }

    [Fact]
    public async Task HandOver_WhenAllLotsGoAsPromised_OneThatCanNotStaysWithItsReason()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView one = await room.LotAsync(150);
        LotView two = await room.LotAsync(100);
        PlacedRequest request = (await room.TryHoldAsync(room.Member, new HoldInput([new(one.Code, 60, null), new(two.Code, 30, null)]))).Value;
        Enter(room, room.Volunteer);
        IRenderedComponent<HandOverPage> page = Open<HandOverPage>("/hand-over");
        page.WaitForAssertion(() => Assert.Equal(2, page.FindAll(".hold").Count), RoomPages.Patience);
        await room.RunOutAsync(request.Holds[1].Id);

        await PressAsync(page, $"Hand over all as promised {request.Number}");

        Says(page, $"1 of 2 lots of {request.Number} are handed over as promised.");
        Assert.Equal((90_000, 100_000), ((await room.LookAsync(one)).OnHandMg!.Value, (await room.LookAsync(two)).OnHandMg!.Value));
    }

    [Fact]
    public async Task Cancel_WhenAHoldIsCancelled_IsFreeAgain()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        await room.HoldAsync(lot, 60);
        Enter(room, room.Volunteer);
        IRenderedComponent<HandOverPage> page = Open<HandOverPage>("/hand-over");

        await PressAsync(page, $"Cancel the hold on lot {lot.Display}");

        Says(page, $"The hold on lot {lot.Display} is cancelled; its yarn is free again.");
        Assert.Equal(150_000, (await room.LookAsync(lot)).FreeMg);
    }

    [Fact]
    public async Task TakeBack_WhenNobodySaidWhatTheySaw_AsksAndThenFreesIt()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        HandedOver taken = await room.TakenHomeAsync(lot, 60);
        await room.OwnerSqlAsync($"update checkout set due_on = current_date - 3 where id = {taken.Id}");
        Enter(room, room.Volunteer);
        IRenderedComponent<HandOverPage> page = Open<HandOverPage>("/hand-over?tab=home");
        page.WaitForElement(".status.caution", RoomPages.Patience);
        Assert.StartsWith("late since", page.Find(".status.caution").TextContent, StringComparison.Ordinal);

        string form = $"#back-{taken.Id:N}";
        await PressAsync(page, $"Take back lot {lot.Display} from Mia Member");
        await page.OnAsync($"{form}-grams", e => e.Input("25"));
        await page.OnAsync(form, e => e.Submit());
        Says(page, $"{form}-look-error", "Look at the yarn and say what you found.");
        await page.OnAsync($"{form} .choices label:nth-child(2) input", e => e.Change(true));
        await page.OnAsync(form, e => e.Submit());
        Says(page, $"{form}-look-error", "Tick what was noticed, or say that nothing was found.");
        Assert.Equal(60_000, (await room.CheckoutRowAsync(taken.Id)).AtHomeMg);
        await page.OnAsync($"{form} .choices label:nth-child(1) input", e => e.Change(true));
        Says(page, "It is free again at once.");
        await page.OnAsync(form, e => e.Submit());

        Says(page, $"25 g of lot {lot.Display} came back and are free again. Put them into their bin. 35 g are still with the member.");
        Assert.Equal(115_000, (await room.LookAsync(lot)).FreeMg);
    }

    [Theory]
    [InlineData(false, "The member keeps the other 34.9 g; they are out of the books.")]
    [InlineData(true, "The other 34.9 g went into the pieces and are booked as used up.")]
    public async Task TakeBack_WhenThatIsAllThatIsLeft_SaysWhatWasBookedOfTheRest(bool forProject, string words)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        HandedOver taken = await room.TakenHomeAsync(lot, 60, forProject ? await room.ProjectAsync() : null);
        Enter(room, room.Volunteer);
        IRenderedComponent<HandOverPage> page = Open<HandOverPage>("/hand-over?tab=home");

        string form = $"#back-{taken.Id:N}";
        await PressAsync(page, $"Take back lot {lot.Display} from Mia Member");
        await page.OnAsync($"{form}-grams", e => e.Input("25.1"));
        await page.OnAsync($"{form} .choices label:nth-child(1) input", e => e.Change(true));
        await page.OnAsync($"{form} label.check > input[type=checkbox]", e => e.Change(true));
        await page.OnAsync(form, e => e.Submit());

        Says(page, $"25.1 g of lot {lot.Display} came back and are free again. Put them into their bin. {words}");
    }

    [Fact]
    public async Task Inspect_WhenSomethingWasNoticedAtTheTable_StandsTickedAndCanBeThrownAwayWithANote()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        HandedOver taken = await room.TakenHomeAsync(lot, 60);
        TakenBack back = (await room.TryTakeBackAsync(taken.Id, new ReturnInput(20, ["mould"]))).Value;
        Enter(room, room.Volunteer);
        IRenderedComponent<HandOverPage> page = Open<HandOverPage>("/hand-over?tab=returns");

        page.WaitForElement("input[value=mould]", RoomPages.Patience);
        Assert.True(page.Find("input[value=mould]").HasAttribute("checked"));
        await page.OnAsync($"#return-{back.Id:N}", e => e.Submit());
        Says(page, $"#return-{back.Id:N}-look-error", "Yarn with insects, mould or damp can't pass. Throw it away, or dry it and look again.");
        await PressAsync(page, "Throw it away");
        Says(page, $"#return-{back.Id:N}-note-error", "This is needed. Fill it in.");
        await page.OnAsync($"#return-{back.Id:N}-note", e => e.Change("mould all through"));
        await PressAsync(page, "Throw it away");

        Says(page, $"20 g of lot {lot.Display} are booked as waste.");
        Says(page, "No leftovers wait");
        Assert.Equal(20_000, await room.BalanceAsync(lot, Domain.Ledger.PlaceKind.Waste));
    }

    [Fact]
    public async Task Find_WhenWordsAreTyped_KeepsThemInTheAddressAndMarksTheSection()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await room.HoldAsync(await room.LotAsync(150), 60);
        await room.HoldAsync(await room.LotAsync(150), 60, by: room.OtherMember);
        await room.TakenHomeAsync(await room.LotAsync(150), 60);
        Enter(room, room.Volunteer);
        IRenderedComponent<HandOverPage> page = Open<HandOverPage>("/hand-over");

        page.WaitForAssertion(() => Assert.Equal(2, page.FindAll("article").Count), RoomPages.Patience);
        Says(page, "[aria-current=page]", "Waiting 2");
        await page.OnAsync("input[type=search]", e => e.Change("otto"));
        await page.OnAsync("form[role=search]", e => e.Submit());
        page.WaitForAssertion(() => Assert.Single(page.FindAll("article")), RoomPages.Patience);
        Assert.EndsWith("/hand-over?q=otto", Navigation.Uri, StringComparison.Ordinal);
        Assert.Equal(["/hand-over", "/hand-over?tab=home", "/hand-over?tab=returns"], page.FindAll("nav.filters a").Select(a => a.GetAttribute("href")));
    }

    [Fact]
    public async Task Show_WhenThePseudoLanguageIsUsed_EveryTextIsLocalised()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        await room.TryHoldAsync(room.Member, new HoldInput([new(lot.Code, 10, null), new((await room.LotAsync(50)).Code, 50, null)]));
        await room.HoldAsync(lot, 10, by: room.OtherMember);
        HandedOver taken = await room.TakenHomeAsync(lot, 60);
        await room.TryTakeBackAsync(taken.Id, new ReturnInput(10, ["smoke"]));
        Read(GuildStash.Web.Infrastructure.Localisation.PseudoLanguage.CultureName);
        Enter(room, room.Volunteer);

        foreach (string address in new[] { "/hand-over", "/hand-over?q=nobody", "/hand-over?tab=home", "/hand-over?tab=home&late=true", "/hand-over?tab=returns" })
        {
            IRenderedComponent<HandOverPage> page = Open<HandOverPage>(address);
            page.WaitForElement("article, .home-list, .empty", RoomPages.Patience);
            if (address.EndsWith("home", StringComparison.Ordinal))
            {
                await page.OnAsync(".toggle", e => e.Click());
                page.WaitForElement("fieldset", RoomPages.Patience);
            }

            Assert.Empty(UntranslatedText.Find(page.Markup));
        }

        IRenderedComponent<NowPage> now = Open<NowPage>($"/hand-over/now?lot={lot.Code}");
        now.WaitForElement("aside .facts", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(now.Markup));
    }
}
