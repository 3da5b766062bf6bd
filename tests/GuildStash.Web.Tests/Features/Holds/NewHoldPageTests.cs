using Bunit;
using GuildStash.Data.Ledger;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Projects;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Holds;

/// <summary>Reserving as a member and as a volunteer, on a real database.</summary>
public sealed class NewHoldPageTests(PostgresFixture postgres) : DeskPages
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Ask_WhenALengthIsTyped_ShowsWhatThatComesToInTheUnit()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        Enter(room, room.Member);
        IRenderedComponent<NewHoldPage> page = Open<NewHoldPage>($"/holds/new?lots={lot.Code}");

        Says(page, ".free", "at least 231 yd free · 150 g free");
        await page.OnAsync($"#amount-{lot.Code}", e => e.Input("100"));

        Says(page, ".sum", "65 g, at least 100 yd");
        Assert.Equal("yards", page.Find("select[aria-label^=Unit] option[selected], select[aria-label^=Unit] option").TextContent);
    }

    [Fact]
    public async Task Reserve_WhenAllOfItIsTaken_PromisesAllAndLeadsToTheRequest()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        Enter(room, room.Member);
        IRenderedComponent<NewHoldPage> page = Open<NewHoldPage>($"/holds/new?lots={lot.Code}");

        await PressAsync(page, $"All of it lot {lot.Display}");
        Says(page, ".sum", "150 g, at least 231 yd");
        await page.OnAsync("#days", e => e.Input("3"));
        await page.OnAsync("#hold", e => e.Submit());

        page.WaitForAssertion(() => Assert.Contains("new=true", Navigation.Uri, StringComparison.Ordinal), RoomPages.Patience);
        Hold hold = await room.AskAsync(db => db.Holds.Include(h => h.Request).SingleAsync(Cancellation));
        Assert.Equal((150_000, room.Member), (hold.Mg, hold.Request.MemberId));
        Assert.Equal(3, (hold.ExpiresAt - hold.CreatedAt).TotalDays, 3);
        IRenderedComponent<RequestPage> done = Open<RequestPage>(Navigation.Uri, p => p.Add(r => r.Id, hold.RequestId));
        Says(done, $"the number {hold.Request.Number} is all they need");
        Says(done, "tbody .n", "150 g");
        Assert.Equal($"/print/pick-up-slip/{hold.RequestId}.pdf", done.Find(".actions a.btn:last-child").GetAttribute("href"));
    }

    [Fact]
    public async Task Refuse_WhenALotBreaksTheProjectsRule_SaysSoBesideThatLotOnly()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView good = await room.LotAsync(150);
        LotView woolly = await room.LotAsync(150, l => l with { Fibres = [new FibreInput("WO", 100)] });
        Guid project = await room.ProjectAsync("Tiny hats", RecipientRules.NoWool);
        Enter(room, room.Member);
        IRenderedComponent<NewHoldPage> page = Open<NewHoldPage>($"/holds/new?lots={good.Code},{woolly.Code}&project={project}");

        Says(page, ".comes-to .field-error", $"Lot {woolly.Display} breaks the rule \"no wool\" of Tiny hats: it contains wool.");
        await page.OnAsync($"#amount-{good.Code}", e => e.Input("10"));
        await page.OnAsync($"#amount-{woolly.Code}", e => e.Input("10"));
        await page.OnAsync("#hold", e => e.Submit());

        Says(page, $"#amount-{woolly.Code}-error", $"Lot {woolly.Display} breaks the rule \"no wool\" of Tiny hats: it contains wool.");
        Assert.Empty(page.FindAll($"#amount-{good.Code}-error"));
        Assert.Equal("true", page.Find($"#amount-{woolly.Code}").GetAttribute("aria-invalid"));
        Assert.Empty(page.FindAll("#hold > .note"));
        Assert.Equal(0, await room.AskAsync(db => db.Holds.CountAsync(Cancellation)));
    }

    [Fact]
    public async Task Refuse_WhenMoreLengthIsAskedThanFree_SpeaksThePersonsUnit()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        Enter(room, room.Member);
        IRenderedComponent<NewHoldPage> page = Open<NewHoldPage>($"/holds/new?lots={lot.Code}");
        string sentence = $"300 yd of lot {lot.Display} were asked for, and 231 yd are surely free. Ask for less, or choose a second lot.";

        await page.OnAsync($"#amount-{lot.Code}", e => e.Input("300"));
        Says(page, ".comes-to .field-error", sentence);
        await page.OnAsync("#hold", e => e.Submit());

        Says(page, $"#amount-{lot.Code}-error", sentence);
        Assert.Empty(page.FindAll(".comes-to .field-error"));
    }

    [Fact]
    public async Task Add_WhenACodeIsTyped_KeepsTheLotsInTheAddress()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView one = await room.LotAsync(150);
        LotView two = await room.LotAsync(50);
        Enter(room, room.Member);
        IRenderedComponent<NewHoldPage> page = Open<NewHoldPage>($"/holds/new?lots={one.Code}");
        await page.OnAsync($"#amount-{one.Code}", e => e.Input("7"));

        await page.OnAsync("#add-code", e => e.Change("QQ"));
        await page.OnAsync("#add-lot", e => e.Submit());
        Says(page, "#add-code-error", "\"QQ\" is not a whole code: it has 7 characters, for instance K7M4-P9U.");
        await page.OnAsync("#add-code", e => e.Change(two.Display.ToLowerInvariant()));
        await page.OnAsync("#add-lot", e => e.Submit());

        page.WaitForAssertion(() => Assert.EndsWith($"lots={one.Code}%2C{two.Code}", Navigation.Uri, StringComparison.Ordinal), RoomPages.Patience);
        page.WaitForElement($"#amount-{two.Code}", RoomPages.Patience);
        Assert.Equal("7", page.Find($"#amount-{one.Code}").GetAttribute("value"));
        await PressAsync(page, $"Take off lot {one.Display}");
        page.WaitForAssertion(() => Assert.EndsWith($"lots={two.Code}", Navigation.Uri, StringComparison.Ordinal), RoomPages.Patience);
    }

    [Fact]
    public async Task Reserve_WhenAVolunteerNamesAMember_IsForThatMember()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        Enter(room, room.Volunteer);
        IRenderedComponent<NewHoldPage> page = Open<NewHoldPage>($"/holds/new?lots={lot.Code}");

        await page.OnAsync("#memberId", e => e.Input("otto"));
        Says(page, ".chosen b", "Otto Other");
        await PressAsync(page, $"All of it lot {lot.Display}");
        await page.OnAsync("#hold", e => e.Submit());

        page.WaitForAssertion(() => Assert.Contains("new=true", Navigation.Uri, StringComparison.Ordinal), RoomPages.Patience);
        HoldRequest request = await room.AskAsync(db => db.HoldRequests.SingleAsync(Cancellation));
        Assert.Equal((room.OtherMember, room.Volunteer), (request.MemberId, request.CreatedById));
    }

    [Fact]
    public async Task Open_WhenAMemberReserves_AsksForNobodyElse()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        Enter(room, room.Member);
        IRenderedComponent<NewHoldPage> page = Open<NewHoldPage>($"/holds/new?lots={lot.Code}");

        page.WaitForElement($"#amount-{lot.Code}", RoomPages.Patience);
        Assert.Empty(page.FindAll("#memberId"));
    }

    [Fact]
    public async Task Show_WhenThePseudoLanguageIsUsed_EveryTextIsLocalised()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        LotView unweighed = await room.LotAsync(null);
        PlacedHold hold = await room.HoldAsync(lot, 20);
        Guid request = (await room.HoldRowAsync(hold.Id)).RequestId;
        Read(GuildStash.Web.Infrastructure.Localisation.PseudoLanguage.CultureName);
        Enter(room, room.Volunteer);

        IRenderedComponent<NewHoldPage> page = Open<NewHoldPage>($"/holds/new?lots={lot.Code},{unweighed.Code}");
        await page.OnAsync($"#amount-{lot.Code}", e => e.Input("100"));
        page.WaitForElement(".sum", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(page.Markup));
        IRenderedComponent<NewHoldPage> empty = Open<NewHoldPage>("/holds/new");
        Assert.Empty(UntranslatedText.Find(empty.Markup));
        IRenderedComponent<RequestPage> one = Open<RequestPage>($"/holds/{request}?new=true", p => p.Add(r => r.Id, request));
        one.WaitForElement("tbody", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(one.Markup));
        IRenderedComponent<RequestPage> none = Open<RequestPage>($"/holds/{lot.Id}", p => p.Add(r => r.Id, lot.Id));
        none.WaitForElement(".empty", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(none.Markup));
    }

    [Theory]
    [InlineData(null, "")]
    [InlineData(" , ,", "")]
    [InlineData("K7M4-P9U,k7m4p9u, K7M4 P9U", "K7M4P9U")]
    [InlineData("nonsense,K7M4P9U", "nonsense|K7M4P9U")]
    public void Read_WhenAnAddressNamesLots_TakesEachOnce(string? address, string codes) =>
        Assert.Equal(codes, string.Join('|', HoldForm.Codes(address)));

    [Fact]
    public void Extreme_WhenAnAddressIsVeryLong_TakesNoMoreThanARequestMayHave()
    {
        IReadOnlyList<string> codes = HoldForm.Codes(string.Join(',', Enumerable.Range(0, 500).Select(i => $"x{i}{new string('y', 1000)}")));

        Assert.Equal(RequestHolds.MostLots, codes.Count);
        Assert.All(codes, c => Assert.True(c.Length <= 20));
    }
}
