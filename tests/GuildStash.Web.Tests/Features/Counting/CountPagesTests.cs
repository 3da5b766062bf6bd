using Bunit;
using GuildStash.Domain.Counting;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Counting;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Features.Kits;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Counting;

/// <summary>The pages of counts and scales, on a real database.</summary>
public sealed class CountPagesTests(PostgresFixture postgres) : DeskPages
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Plan_WhenABinIsChosen_BeginsItsCountAndLeadsToIt()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BinView bin = await room.Guild.BinAsync("Blues");
        LotView lot = await room.LotAsync(200, l => l with { BinCode = bin.Code });
        Enter(room, room.Volunteer);
        IRenderedComponent<CountPlanPage> plan = Open<CountPlanPage>("/counts");
        plan.WaitForElement("tbody tr", RoomPages.Patience);
        Assert.Equal(["–", "never counted"], plan.FindAll("tbody tr:first-child td:is(.soft, .counted)").Select(cell => cell.TextContent));

        await PressAsync(plan, $"Count it {bin.Display}");
        plan.WaitForAssertion(() => Assert.EndsWith($"/bins/{bin.Code}?do=count", Navigation.Uri, StringComparison.Ordinal), RoomPages.Patience);

        IRenderedComponent<CountForm> form = Open<CountForm>($"/bins/{bin.Code}?do=count", p => p.Add(c => c.Bin, bin));
        await form.DoneAsync($"#count-{lot.Code}", e => e.InputAsync("198"));
        Says(form, "1 of 1 weighed");
        Guid other = await room.Guild.AddPersonAsync("Wim Volunteer", "wim@example.org", Domain.People.Role.Volunteer);
        Outcome(await room.Guild.UseAsync<BeginCount, Domain.Rules.Outcome<Guid>>(u => u.RunAsync(other, bin.Code, Cancellation)));

        // Whoever comes back finds what was weighed.
        IRenderedComponent<CountForm> again = Open<CountForm>($"/bins/{bin.Code}?do=count", p => p.Add(c => c.Bin, bin));
        again.WaitForAssertion(() => Assert.Equal("198", again.Find($"#count-{lot.Code}").GetAttribute("value")), RoomPages.Patience);
        IRenderedComponent<CountPlanPage> anew = Open<CountPlanPage>("/counts");
        Says(anew, "Vera Volunteer counts it");
    }

    private static void Outcome(Domain.Rules.Outcome<Guid> begun) => Assert.Equal(CountRules.Frozen, begun.Refusal.Rule);

    [Fact]
    public async Task WholeBin_WhenItDiffers_IsWeighedLotByLotInTheSameCount()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BinView bin = await room.Guild.BinAsync("Blues");
        await room.Guild.DoAsync<EditBin, BinView>(u => u.RunAsync(room.Volunteer, bin.Id, bin.Version, new BinInput(bin.Name, bin.Kind, null, null, null, null, 500, 1), Cancellation));
        LotView lot = await room.LotAsync(200, l => l with { BinCode = bin.Code });
        await room.Guild.DoAsync<BeginCount, Guid>(u => u.RunAsync(room.Volunteer, bin.Code, Cancellation));
        Enter(room, room.Volunteer);
        List<string> done = [];
        IRenderedComponent<CountForm> form = Open<CountForm>($"/bins/{bin.Code}?do=count", p => p.Add(c => c.Bin, bin).Add(c => c.OnDone, done.Add));

        form.WaitForElement("fieldset.ways", RoomPages.Patience);
        await form.InvokeAsync(() => form.FindAll("fieldset.ways input")[1].Change(true));
        await form.OnAsync("#gross", e => e.Input("650"));
        await form.OnAsync("form#count", e => e.Submit());
        Says(form, "It differs by more than scales and moisture explain.");
        await PressAsync(form, "Weigh it lot by lot");
        await form.OnAsync($"#count-{lot.Code}", e => e.Input("198"));
        await form.OnAsync("form#count", e => e.Submit());
        await PressAsync(form, "Book this count");

        form.WaitForAssertion(() => Assert.Equal(["1 lot is counted. 1 difference is booked."], done), RoomPages.Patience);
        Assert.Equal(198_000, (await room.LookAsync(lot)).OnHandMg);
    }

    [Fact]
    public async Task Compare_WhenAKitHoldsMoreThanWasFound_NamesTheKitAndGoesOnOnceItIsPutBack()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        BinView bin = await room.Desk.Guild.BinAsync("Blues");
        LotView lot = await room.Desk.LotAsync(100, l => l with { BinCode = bin.Code });
        KitView kit = await room.KitAsync([(lot, 36.951m)]);
        await room.Desk.HoldAsync(lot, 20.049m);
        await room.Desk.Guild.DoAsync<BeginCount, Guid>(u => u.RunAsync(room.Desk.Volunteer, bin.Code, Cancellation));
        Enter(room.Desk, room.Desk.Volunteer);
        IRenderedComponent<CountForm> form = Open<CountForm>($"/bins/{bin.Code}?do=count", p => p.Add(c => c.Bin, bin));
        form.WaitForElement($"#count-{lot.Code}", RoomPages.Patience);
        await form.DoneAsync($"#count-{lot.Code}", e => e.InputAsync("30"));
        await form.OnAsync("#count", e => e.Submit());

        Says(form, $"57 g of lot {lot.Display} are promised, more than was found: 37 g in kit {kit.Number}, 20 g of Mia Member (R-");
        KitRoom.Ok(await room.UseAsync<ReleaseKit, bool>(u => u.RunAsync(room.Desk.Volunteer, kit.Id, "counted less", Cancellation)));
        Assert.Equal("30", form.Find($"#count-{lot.Code}").GetAttribute("value"));
        await form.OnAsync("#count", e => e.Submit());

        Says(form, "End it and ask a second person");
    }

    [Fact]
    public async Task Notice_WhenAnotherCounts_LetsACoordinatorEndIt()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BinView bin = await room.Guild.BinAsync("Blues");
        await room.Guild.DoAsync<BeginCount, Guid>(u => u.RunAsync(room.Volunteer, bin.Code, Cancellation));
        Enter(room, room.Coordinator);
        IRenderedComponent<CountStanding> page = Open<CountStanding>($"/bins/{bin.Code}", p => p.Add(c => c.Bin, bin.Code).Add(c => c.Of, bin));

        Says(page, "Vera Volunteer has been counting this bin since");
        await PressAsync(page, "End this count without a result");

        page.WaitForAssertion(() => Assert.DoesNotContain("has been counting", page.Markup, StringComparison.Ordinal), RoomPages.Patience);
    }

    [Fact]
    public async Task Scales_WhenOneIsCheckedAndOff_WarnWhereItIsChosen()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Coordinator);
        IRenderedComponent<ScalesPage> page = Open<ScalesPage>("/scales");
        await PressAsync(page, "Add a scale");
        await page.OnAsync("#scale-new-name", e => e.Change("Kitchen scale"));
        await page.OnAsync("#scale-new-division", e => e.Input("5"));
        await page.OnAsync("form#scale-new", e => e.Submit());
        Says(page, "sure to 5 % from 100 g");
        await PressAsync(page, "Check it Kitchen scale");
        await page.OnAsync("input[name=nominalGrams]", e => e.Input("500"));
        await page.OnAsync("input[name=shownGrams]", e => e.Input("508"));
        await page.OnAsync("article.scale form", e => e.Submit());
        Says(page, "The scale Kitchen scale is off by more than one step.");

        ScaleView? chosen = null;
        IRenderedComponent<ScaleChoice> choice = Ui.Render<ScaleChoice>(p => p.Add(c => c.ScaleChanged, s => chosen = s).Add(c => c.Grams, 25));
        choice.WaitForElement("select", RoomPages.Patience);
        string id = (await room.Guild.DoAsync<ScaleReader, IReadOnlyList<ScaleView>>(u => u.InUseAsync(room.Volunteer, Cancellation)))[0].Id.ToString();
        await choice.OnAsync("select", e => e.Change(id));
        Assert.Equal("Kitchen scale", chosen?.Name);
        choice.Render(p => p.Add(c => c.Scale, chosen));
        Says(choice, "25 g on a scale that shows 5 g is sure to ±20 % only.");
        Says(choice, "This scale showed 508 g for 500 g");
    }

    [Fact]
    public async Task Show_WhenInThePseudoLanguage_NothingStaysInEnglish()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BinView bin = await room.Guild.BinAsync("Blues");
        LotView lot = await room.LotAsync(200, l => l with { BinCode = bin.Code });
        await room.Guild.DoAsync<CountBin, CountedBin>(u => u.RunAsync(room.Volunteer, bin.Code, [new CountedLot(lot.Code, 199)], Cancellation));
        await room.Guild.DoAsync<SaveScale, Guid>(u => u.RunAsync(room.Coordinator, null, 0, new ScaleInput("B1", 5, null, true, null), Cancellation));
        Enter(room, room.Coordinator);
        Read(PseudoLanguage.CultureName);
        IRenderedComponent<CountPlanPage> plan = Open<CountPlanPage>("/counts");
        plan.WaitForElement("tbody", RoomPages.Patience);
        IRenderedComponent<CountHistory> history = Ui.Render<CountHistory>(p => p.Add(c => c.Bin, bin.Code));
        history.WaitForElement("tbody", RoomPages.Patience);
        IRenderedComponent<ScalesPage> scales = Open<ScalesPage>("/scales");
        scales.WaitForElement("article", RoomPages.Patience);

        Assert.Empty(UntranslatedText.Find(plan.Markup + history.Markup + scales.Markup));
    }
}
