using System.Text.Json;
using AngleSharp.Dom;
using Bunit;
using GuildStash.Domain.Intake;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Drafts;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Components;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Intake;

/// <summary>The door as a volunteer uses it, on a real database.</summary>
public sealed class IntakePagesTests(PostgresFixture postgres) : ShellTest
{
    private static IElement Button<T>(IRenderedComponent<T> page, string text)
        where T : Microsoft.AspNetCore.Components.IComponent =>
        page.FindAll("button").Single(b => b.TextContent.Trim() == text);

    private static void Await<T>(IRenderedComponent<T> page, Action assertion)
        where T : Microsoft.AspNetCore.Components.IComponent => page.WaitForAssertion(assertion, RoomPages.Patience);

    private IRenderedComponent<NewGiftPage> OpenForm(GuildRoom room)
    {
        Ui.UseRoom(room);
        Person.SignIn(room.Volunteer);
        IRenderedComponent<NewGiftPage> page = Ui.Render<NewGiftPage>();
        page.WaitForElement(".bag-way", RoomPages.Patience);
        return page;
    }

    [Fact]
    public async Task Log_WhenTwoBagsAreWeighed_ShowsNumberAndNextSteps()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        IRenderedComponent<NewGiftPage> page = OpenForm(room);
        await page.OnAsync("#bag-1-gross", e => e.Input("2360,5"));
        await page.OnAsync("#bag-1-tare", e => e.Input("50.5"));
        Await(page, () => Assert.Equal("2.31 kg", Spaces.Plain(page.Find(".bag-net b").TextContent)));
        await page.PressAsync("Another bag");
        await page.OnAsync("#bag-2-gross", e => e.Input("800"));
        await page.OnAsync("#wishes", e => e.Input("For baby things only."));

        await page.OnAsync("#gift", e => e.Submit());

        page.WaitForElement(".logged-number", RoomPages.Patience);
        Assert.Equal($"D-{DateTime.UtcNow.Year}-0001", page.Find(".logged-number").TextContent);
        await using var db = room.Look();
        var bags = await db.Bags.Include(b => b.Donation).OrderBy(b => b.Ordinal).ToListAsync(GuildRoom.Cancellation);
        Assert.Equal([2_310_000, 800_000], bags.Select(b => b.GrossMg - b.TareMg));
        Assert.Equal(("For baby things only.", null), (bags[0].Donation.Wishes, bags[0].Donation.DonorId));
        Assert.Equal($"/sorting/{bags[0].Id}", page.FindAll("a").Single(a => a.TextContent == "Sort bag 1").GetAttribute("href"));
        Assert.Equal($"/print/intake-sheet/{bags[0].DonationId}.pdf?bag=2", page.Find("[aria-label='Print intake sheet of bag 2']").GetAttribute("href"));
        await page.PressAsync("Log another gift");
        Await(page, () => Assert.Equal("", page.Find("#bag-1-gross").GetAttribute("value") ?? ""));
    }

    [Fact]
    public async Task Log_WhenBagsSayTheSame_EachIsABagOfItsOwn()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        IRenderedComponent<NewGiftPage> page = OpenForm(room);
        await page.PressAsync("Another bag");
        await page.PressAsync("Another bag");
        await page.OnAsync("#bag-1-gross", e => e.Input("500"));
        await page.OnAsync("#bag-2-gross", e => e.Input("500"));
        await page.OnAsync("#bag-3-gross", e => e.Input("500"));
        await page.PressAsync("Remove bag 2");

        await page.OnAsync("#gift", e => e.Submit());

        page.WaitForElement(".logged-number", RoomPages.Patience);
        await using var db = room.Look();
        Assert.Equal([500_000, 500_000], await db.Bags.Select(b => b.GrossMg - b.TareMg).ToListAsync(GuildRoom.Cancellation));
    }

    [Fact]
    public async Task Log_WhenTheSameDraftWasLoggedInAnotherWindow_SaysSoAndSavesTheRestAsAnother()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        IRenderedComponent<NewGiftPage> phone = OpenForm(room);
        await phone.OnAsync("#bag-1-gross", e => e.Input("500"));
        await phone.InvokeAsync(() => phone.FindComponent<DraftKeeper<GiftForm>>().Instance.SaveAsync());
        IRenderedComponent<NewGiftPage> desk = Ui.Render<NewGiftPage>();
        Await(desk, () => Assert.Equal("500", desk.Find("#bag-1-gross").GetAttribute("value")));
        await phone.OnAsync("#gift", e => e.Submit());
        phone.WaitForElement(".logged-number", RoomPages.Patience);

        await desk.OnAsync("#bag-1-gross", e => e.Input("750"));
        await desk.OnAsync("#gift", e => e.Submit());

        Await(desk, () => Assert.Contains("This form was saved already, in another window or on another device. What stands here is not saved.", desk.Find("#gift [role=alert]").TextContent, StringComparison.Ordinal));
        Assert.Equal("750", desk.Find("#bag-1-gross").GetAttribute("value"));
        await desk.OnAsync("#gift", e => e.Submit());
        desk.WaitForElement(".logged-number", RoomPages.Patience);
        await using var db = room.Look();
        Assert.Equal([500_000, 750_000], await db.Bags.OrderBy(b => b.GrossMg).Select(b => b.GrossMg).ToListAsync(GuildRoom.Cancellation));
    }

    [Fact]
    public async Task Log_WhenFieldsAreWrong_SaysSoBesideThemAndSavesNothing()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        IRenderedComponent<NewGiftPage> page = OpenForm(room);
        await page.OnAsync("#bag-1-gross", e => e.Input("40"));
        await page.OnAsync("#bag-1-tare", e => e.Input("40"));
        await page.InvokeAsync(() => page.FindAll("input[name=decision]")[1].Change(true));

        await page.OnAsync("#gift", e => e.Submit());

        page.WaitForElement("#bag-1-tare-error", RoomPages.Patience);
        Assert.Contains("can't weigh as much as the full one", page.Find("#bag-1-tare-error").TextContent, StringComparison.Ordinal);
        Assert.Contains("Say why", page.Find("#decisionReason-error").TextContent, StringComparison.Ordinal);
        await using var db = room.Look();
        Assert.Equal(0, await db.Donations.CountAsync(GuildRoom.Cancellation));
    }

    [Fact]
    public async Task Note_WhenAConditionIsTicked_TheCautionAndTheWayAppearAtOnce()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        IRenderedComponent<NewGiftPage> page = OpenForm(room);
        Assert.Empty(page.FindAll(".note"));
        Assert.Equal("This bag goes to sorting.", page.Find(".bag-way").TextContent);

        await page.PressAsync("Damp");
        Await(page, () => Assert.Equal("true", Button(page, "Damp").GetAttribute("aria-pressed")));
        Await(page, () => Assert.Contains("dry it apart", page.Find("[role=alert]").TextContent, StringComparison.Ordinal));
        Await(page, () => Assert.Contains("goes to quarantine (it is damp)", page.Find(".bag-way").TextContent, StringComparison.Ordinal));

        await page.PressAsync("Insects or webbing");
        Await(page, () => Assert.Equal(2, page.FindAll("[role=alert]").Count));
        Await(page, () => Assert.Contains("stays shut", page.Find(".bag-way").TextContent, StringComparison.Ordinal));

        await page.PressAsync("Insects or webbing");
        await page.PressAsync("Damp");
        Await(page, () => Assert.Empty(page.FindAll("[role=alert]")));
    }

    [Fact]
    public async Task Release_WhenTheBagWasInspected_SaysWhereItsLotsLie()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(500, 0, ["damp"])] }, GuildRoom.Cancellation));
        await room.DoAsync<AddLot, Web.Features.Inventory.LotView>(u => u.RunAsync(room.Volunteer, gift.Bags[0].Id, new LotInput { Grams = 100 }, GuildRoom.Cancellation));
        Ui.UseRoom(room);
        Person.SignIn(room.Volunteer);
        IRenderedComponent<GiftPage> page = Ui.Render<GiftPage>(p => p.Add(g => g.DonationId, gift.Id));
        page.WaitForElement(".panel.bag", RoomPages.Patience);
        Assert.Contains("In quarantine: it is damp.", page.Markup, StringComparison.Ordinal);
        // To inspect comes first; sorting stays possible and quiet.
        Assert.Equal(["Inspect and release"], page.FindAll(".panel.bag .btn:not(.quiet, .caution)").Select(button => button.TextContent));
        Assert.Equal($"/sorting/{gift.Bags[0].Id}", page.Find(".bag-acts a.quiet").GetAttribute("href"));

        await page.PressAsync("Inspect and release");
        await page.OnAsync("#inspect-1", e => e.Submit());
        page.WaitForElement("#inspect-1-note-error", RoomPages.Patience);
        await page.OnAsync("#inspect-1-note", e => e.Change("Dried for a week, no mould seen."));
        await page.OnAsync("#inspect-1", e => e.Submit());

        Await(page, () => Assert.Contains("waits for a second person", page.Find(".said").TextContent, StringComparison.Ordinal));
        Await(page, () => Assert.Contains("Withdraw it", page.Find("article.approval").TextContent, StringComparison.Ordinal));
        Assert.DoesNotContain(page.FindAll("article.approval button"), b => b.TextContent.Contains("Approve", StringComparison.Ordinal));

        Person.SignIn(room.Coordinator);
        IRenderedComponent<GiftPage> second = Ui.Render<GiftPage>(p => p.Add(g => g.DonationId, gift.Id));
        await second.OnAsync("article.approval button", e => e.Click());
        Await(second, () => Assert.Contains("Carry 1 lot of it (100 g) to bin", second.Find(".said").TextContent, StringComparison.Ordinal));
        Await(second, () => Assert.Contains("Dried for a week", second.Markup, StringComparison.Ordinal));
        Await(second, () => Assert.DoesNotContain("Inspect and release", second.Markup, StringComparison.Ordinal));
    }

    [Fact]
    public async Task Release_WhenOneLotWasKeptApartForItsFibre_ItAloneGoesToAnOpenBin()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await using (var db = room.Look())
        {
            await db.Guilds.ExecuteUpdateAsync(g => g.SetProperty(x => x.QuarantinePolicy, QuarantinePolicy.AnimalAndUnknownFibre), GuildRoom.Cancellation);
        }

        LoggedGift gift = await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(500, 0, [])] }, GuildRoom.Cancellation));
        foreach (string fibre in (string[])["WO", "WM"])
        {
            await room.DoAsync<AddLot, Web.Features.Inventory.LotView>(u => u.RunAsync(room.Volunteer, gift.Bags[0].Id, new LotInput { Grams = 100, Fibres = [new FibreInput(fibre, null)] }, GuildRoom.Cancellation));
        }

        await using (var db = room.Look())
        {
            await db.Lots.ExecuteUpdateAsync(l => l.SetProperty(x => x.QuarantinedAt, DateTimeOffset.UtcNow.AddDays(-31)), GuildRoom.Cancellation);
        }

        Ui.UseRoom(room);
        Person.SignIn(room.Volunteer);
        IRenderedComponent<GiftPage> page = Ui.Render<GiftPage>(p => p.Add(g => g.DonationId, gift.Id));
        page.WaitForAssertion(() => Assert.Equal(2, page.FindAll("button[aria-label^=Inspect]").Count), RoomPages.Patience);
        await page.OnAsync("button[aria-label^=Inspect]", e => e.Click());
        await page.OnAsync("form[id^=inspect-] textarea", e => e.Change("Frozen for a week, nothing seen."));
        await page.OnAsync("form[id^=inspect-]", e => e.Submit());

        Await(page, () => Assert.Contains("waits for a second person", page.Find(".said").TextContent, StringComparison.Ordinal));
        await using var after = room.Look();
        Guid asked = (await after.Approvals.SingleAsync(GuildRoom.Cancellation)).Id;
        Assert.Equal(0, await after.Lots.CountAsync(l => l.QuarantineReason == null, GuildRoom.Cancellation));
        await room.DoAsync<DecideApproval, Decided>(u => u.ApproveAsync(room.Coordinator, asked, "", null, GuildRoom.Cancellation));
        Assert.Equal(1, await after.Lots.CountAsync(l => l.QuarantineReason == null && l.QuarantinedMg == 0, GuildRoom.Cancellation));
    }

    [Fact]
    public async Task Show_WhenTheLotsWeighMoreThanTheBag_SaysByHowMuchAndWhatWasFound()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(230, 0, [])] }, GuildRoom.Cancellation));
        await room.DoAsync<AddLot, Web.Features.Inventory.LotView>(u => u.RunAsync(room.Volunteer, gift.Bags[0].Id, new LotInput { Grams = 270 }, GuildRoom.Cancellation));
        Ui.UseRoom(room);
        Person.SignIn(room.Volunteer);
        IRenderedComponent<GiftPage> page = Ui.Render<GiftPage>(p => p.Add(g => g.DonationId, gift.Id));
        page.WaitForElement(".panel.bag", RoomPages.Patience);
        Assert.Contains("270 g sorted, 1 lot · 40 g more than the bag weighed ", Spaces.Plain(page.Find(".panel.bag > p").TextContent) + " ", StringComparison.Ordinal);

        await page.PressAsync("Close the bag");
        Await(page, () => Assert.Contains("That is 40 g more than the bag weighed, 17 % of it", Spaces.Plain(page.Find(".close-bag").TextContent), StringComparison.Ordinal));
        await page.OnAsync("#rest-1-note", e => e.Change("The scale at the door sticks."));
        await page.PressAsync("Close bag 1 and book the difference");

        Await(page, () => Assert.EndsWith("40 g more than the bag weighed, booked as weighing error: The scale at the door sticks.", Spaces.Plain(page.Find(".panel.bag > p").TextContent), StringComparison.Ordinal));
    }

    [Fact]
    public async Task Discard_WhenAReasonIsGiven_ClosesTheBag()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(500, 0, ["mould"])] }, GuildRoom.Cancellation));
        Ui.UseRoom(room);
        Person.SignIn(room.Volunteer);
        IRenderedComponent<GiftPage> page = Ui.Render<GiftPage>(p => p.Add(g => g.DonationId, gift.Id));
        page.WaitForElement(".panel.bag", RoomPages.Patience);
        Assert.DoesNotContain(page.FindAll("a"), a => a.TextContent == "Sort bag 1");

        await page.PressAsync("Discard the bag");
        await page.OnAsync("#discard-1-reason", e => e.Change("Mould all through."));
        await page.OnAsync("#discard-1", e => e.Submit());

        page.WaitForElement(".said", RoomPages.Patience);
        Assert.Contains("500 g went to waste", Spaces.Plain(page.Find(".said").TextContent), StringComparison.Ordinal);
        await using var db = room.Look();
        Assert.NotNull((await db.Bags.SingleAsync(GuildRoom.Cancellation)).ClosedAt);
    }

    [Fact]
    public async Task List_WhenFilteredAndSearched_ShowsWhatMatchesOrSaysThatNothingDoes()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Ui.UseRoom(room);
        Person.SignIn(room.Volunteer);
        IRenderedComponent<IntakePage> page = Ui.Render<IntakePage>();
        page.WaitForAssertion(() => Assert.Contains("No gift yet", page.Markup, StringComparison.Ordinal), RoomPages.Patience);
        await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { DonorName = "Bert Sample", Bags = [new BagInput(500, 0, ["damp"])] }, GuildRoom.Cancellation));
        await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Notes = "blue crate", Bags = [new BagInput(700, 0, [])] }, GuildRoom.Cancellation));

        Navigation.NavigateTo("/intake?show=quarantine");
        page.WaitForAssertion(() => Assert.Equal(["Bert Sample"], page.FindAll("tbody .from").Select(c => c.TextContent.Trim())), RoomPages.Patience);
        await page.OnAsync("input[type=search]", e => e.Change("crate"));
        await page.OnAsync("form[role=search]", e => e.Submit());
        page.WaitForAssertion(() => Assert.Contains("Nothing found", page.Markup, StringComparison.Ordinal), RoomPages.Patience);
        Assert.EndsWith("/intake?show=quarantine&q=crate", Navigation.Uri, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Show_WhenThePseudoLanguageIsUsed_EveryTextIsLocalised()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer,
            new GiftInput { DonorName = "Bert Sample", Wishes = "caps", Notes = "crate", Bags = [new BagInput(500, 0, ["damp"]), new BagInput(500, 0, ["mould"])] }, GuildRoom.Cancellation));
        Read(GuildStash.Web.Infrastructure.Localisation.PseudoLanguage.CultureName);
        Ui.UseRoom(room);
        Person.SignIn(room.Volunteer);

        IRenderedComponent<IntakePage> list = Ui.Render<IntakePage>();
        list.WaitForElement("tbody", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(list.Markup));
        IRenderedComponent<SortingPage> bags = Ui.Render<SortingPage>();
        bags.WaitForElement("tbody", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(bags.Markup));
        Guid id = Guid.Parse(list.Find("a.open").GetAttribute("href")!.Split('/')[^1]);
        IRenderedComponent<GiftPage> gift = Ui.Render<GiftPage>(p => p.Add(g => g.DonationId, id));
        gift.WaitForElement(".panel.bag", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(gift.Markup));
        IRenderedComponent<NewGiftPage> form = Ui.Render<NewGiftPage>();
        form.WaitForElement(".bag-way", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(form.Markup));
    }

    [Fact]
    public void RoundtripJson_KeepsTheWholeForm()
    {
        GiftForm form = new()
        {
            Kind = IntakeKind.Swap,
            Donor = DonorWish.New,
            DonorName = "Bert Sample",
            DonorContact = "bert@example.org",
            ReceivedOn = new DateOnly(2026, 3, 9),
            Wishes = "caps",
            Notes = "crate",
            Decision = IntakeDecision.PassedOn,
            DecisionReason = "too much of it",
            Bags = [new BagForm { GrossGrams = 800, TareGrams = 10, Conditions = Conditions.Smoke | Conditions.Damp }],
        };

        GiftForm again = JsonSerializer.Deserialize<GiftForm>(JsonSerializer.Serialize(form))!;

        Assert.Equal(JsonSerializer.Serialize(form.ToInput().Value), JsonSerializer.Serialize(again.ToInput().Value));
        Assert.Equal(["smoke", "damp"], again.ToInput().Value.Bags[0].Conditions!);
    }

    [Fact]
    public void InvalidGift_WhenSeveralFieldsAreWrong_AllAreSaidAtOnce()
    {
        GiftForm form = new() { Donor = DonorWish.New, Decision = IntakeDecision.DeclinedAtTheDoor, Bags = [new() { GrossGrams = 800, TareGrams = -1 }] };

        Assert.Equal(["donorName", "decisionReason", "bags[0].tareGrams"], form.ToInput().Refusals.Select(refusal => refusal.Field!));
    }

    [Theory]
    [InlineData(DonorWish.Known, "donor")]
    [InlineData(DonorWish.New, "donorName")]
    public void InvalidDonor_WhenNoneIsNamed_IsRefusedInsteadOfBecomingNameless(DonorWish wish, string field) =>
        Assert.Equal(field, new GiftForm { Donor = wish }.ToInput().Refusal.Field);
}
