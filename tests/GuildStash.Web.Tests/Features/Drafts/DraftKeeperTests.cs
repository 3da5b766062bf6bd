using Bunit;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Drafts;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Components;
using GuildStash.Web.Tests.Support;
using Microsoft.AspNetCore.Components;
using Xunit;

namespace GuildStash.Web.Tests.Features.Drafts;

/// <summary>The pages whose forms are kept, on a real database; the browser's part is played by the test.</summary>
public sealed class DraftKeeperTests(PostgresFixture postgres) : ShellTest
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static void Await<T>(IRenderedComponent<T> page, Action assertion)
        where T : IComponent => page.WaitForAssertion(assertion, RoomPages.Patience);

    private static Task<KeptDraft?> KeptAsync(GuildRoom room, string form) =>
        room.DoAsync<ReadDraft, KeptDraft?>(u => u.RunAsync(room.Volunteer, form, 1, Cancellation));

    private static Task<DateTimeOffset> KeepAsync<T>(GuildRoom room, string form, T state, int version = 1) =>
        room.DoAsync<SaveDraft, DateTimeOffset>(u => u.RunAsync(room.Volunteer, form, version, DraftState.Write(state), Cancellation));

    private static async Task<bool> PauseAsync<TPage, TForm>(IRenderedComponent<TPage> page)
        where TPage : IComponent
        where TForm : class, IDraftForm
    {
        bool safe = false;
        await page.InvokeAsync(async () => safe = await ((IRenderedComponent<IComponent>)page).FindComponent<DraftKeeper<TForm>>().Instance.SaveAsync());
        return safe;
    }

    private void Enter(GuildRoom room)
    {
        Ui.UseRoom(room);
        Person.SignIn(room.Volunteer);
    }

    /// <summary>For what the database must come to: a page's own waiting would hold up the rendering that brings it about.</summary>
    private static async Task UntilAsync(Func<Task<bool>> holds)
    {
        using CancellationTokenSource patience = CancellationTokenSource.CreateLinkedTokenSource(Cancellation);
        patience.CancelAfter(RoomPages.Patience);
        using PeriodicTimer again = new(TimeSpan.FromMilliseconds(50));
        while (!await holds())
        {
            await again.WaitForNextTickAsync(patience.Token);
        }
    }

    private IRenderedComponent<NewGiftPage> OpenGift(GuildRoom room)
    {
        Enter(room);
        IRenderedComponent<NewGiftPage> page = Ui.Render<NewGiftPage>();
        page.WaitForElement("[data-keeping]", RoomPages.Patience);
        return page;
    }

    [Fact]
    public async Task Open_WhenADraftIsKept_BringsItBackUnderItsTime()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        GiftForm form = new() { Wishes = "For children", Bags = [new() { GrossGrams = 560.5m }, new() { GrossGrams = 80 }] };
        DateTimeOffset saved = await KeepAsync(room, DraftKeys.Gift, form);
        IRenderedComponent<NewGiftPage> page = OpenGift(room);

        string time = TimeZoneInfo.ConvertTime(saved, Display.Zone).ToString("HH:mm", System.Globalization.CultureInfo.InvariantCulture);
        Await(page, () => Assert.Equal($"Continue your gift from {time}", page.Find(".draft-note p").TextContent));
        Assert.Equal(("560.5", "80", "For children"), (page.Find("#bag-1-gross").GetAttribute("value"), page.Find("#bag-2-gross").GetAttribute("value"), page.Find("#wishes").GetAttribute("value")));

        Assert.Contains("The form below holds what you typed then", page.Find(".draft-note").TextContent, StringComparison.Ordinal);
        Assert.Contains("only puts this note away", page.Find(".draft-note").TextContent, StringComparison.Ordinal);

        await page.PressAsync("Keep it and go on");
        Await(page, () => Assert.Empty(page.FindAll(".draft-note")));
        Assert.Equal("560.5", page.Find("#bag-1-gross").GetAttribute("value"));
        Assert.NotNull(await KeptAsync(room, DraftKeys.Gift));
    }

    [Fact]
    public async Task StartAfresh_WhenChosen_ThrowsTheDraftAway()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await KeepAsync(room, DraftKeys.Gift, new GiftForm { Bags = [new() { GrossGrams = 560.5m }, new()] });
        IRenderedComponent<NewGiftPage> page = OpenGift(room);

        await page.PressAsync("Throw it away and start afresh");

        Await(page, () => Assert.Empty(page.FindAll(".draft-note")));
        Await(page, () => Assert.Equal("", page.Find("#bag-1-gross").GetAttribute("value") ?? ""));
        Await(page, () => Assert.Empty(page.FindAll("#bag-2-gross")));
        Await(page, () => Assert.Contains(Ui.JSInterop.Invocations, i => i.Identifier == "guildStashDrafts.forget"));
        await UntilAsync(async () => await KeptAsync(room, DraftKeys.Gift) is null);
    }

    [Fact]
    public async Task Type_WhenTypingPauses_KeepsTheFormUntilItIsBlankAgainOrLogged()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        IRenderedComponent<NewGiftPage> page = OpenGift(room);
        Assert.True(await PauseAsync<NewGiftPage, GiftForm>(page));
        Assert.Null(await KeptAsync(room, DraftKeys.Gift));

        await page.OnAsync("#bag-1-gross", e => e.Input("560,5"));
        Assert.True(await PauseAsync<NewGiftPage, GiftForm>(page));
        Assert.Equal(560.5m, DraftState.Read<GiftForm>((await KeptAsync(room, DraftKeys.Gift))!.State)!.Bags[0].GrossGrams);
        await page.OnAsync("#bag-1-gross", e => e.Input(""));
        Assert.True(await PauseAsync<NewGiftPage, GiftForm>(page));
        Assert.Null(await KeptAsync(room, DraftKeys.Gift));

        await page.OnAsync("#notes", e => e.Input("wet"));
        await PauseAsync<NewGiftPage, GiftForm>(page);
        await page.OnAsync("#gift", e => e.Submit());
        page.WaitForElement("#bag-1-gross-error", RoomPages.Patience);
        Assert.NotNull(await KeptAsync(room, DraftKeys.Gift));
        await page.OnAsync("#bag-1-gross", e => e.Input("560"));
        await page.OnAsync("#gift", e => e.Submit());
        page.WaitForElement(".logged-number", RoomPages.Patience);
        Assert.Null(await KeptAsync(room, DraftKeys.Gift));
    }

    [Theory]
    [InlineData(1, """{"Balls":3}""")]
    [InlineData(99, """{"Notes":"of a later version"}""")]
    public async Task Open_WhenTheDraftNoLongerFits_DropsItQuietly(int version, string state)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await room.DoAsync<SaveDraft, DateTimeOffset>(u => u.RunAsync(room.Volunteer, DraftKeys.Gift, version, state, Cancellation));

        IRenderedComponent<NewGiftPage> page = OpenGift(room);

        Assert.Empty(page.FindAll(".draft-note, [role=alert]"));
        Assert.Equal("", page.Find("#notes").GetAttribute("value") ?? "");
    }

    [Fact]
    public async Task Open_WhenOnlyTheBrowserHeardTheKeystrokes_AsksItToTellThem()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid request = Guid.CreateVersion7();
        DateTimeOffset typed = DateTimeOffset.UtcNow.AddDays(-2);
        Ui.JSInterop.Setup<BrowserCopy?>("guildStashDrafts.open", _ => true).SetResult(new BrowserCopy(request.ToString(), typed.ToUnixTimeMilliseconds()));

        IRenderedComponent<NewGiftPage> page = OpenGift(room);

        Await(page, () => Assert.Equal($"Continue your gift from {Display.Moment(typed)}", page.Find(".draft-note p").TextContent));
        Assert.Equal(true, Ui.JSInterop.Invocations.Single(i => i.Identifier == "guildStashDrafts.begin").Arguments[1]);
        Assert.Equal(request.ToString(), page.Find("[data-draft-of=gift]").GetAttribute("data-request"));
    }

    [Fact]
    public async Task Open_WhenTheBrowsersCopyWasSubmittedOrIsAnotherForms_LeavesItOut()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        IRenderedComponent<NewGiftPage> first = OpenGift(room);
        string? request = first.Find("[data-draft-of=gift]").GetAttribute("data-request");
        await first.OnAsync("#bag-1-gross", e => e.Input("560"));
        await first.OnAsync("#gift", e => e.Submit());
        first.WaitForElement(".logged-number", RoomPages.Patience);
        var open = Ui.JSInterop.Setup<BrowserCopy?>("guildStashDrafts.open", _ => true);

        open.SetResult(new BrowserCopy(request, DateTimeOffset.UtcNow.ToUnixTimeMilliseconds()));
        IRenderedComponent<NewGiftPage> page = Ui.Render<NewGiftPage>();
        page.WaitForElement("[data-keeping]", RoomPages.Patience);
        await KeepAsync(room, DraftKeys.Gift, new GiftForm { Notes = "of another form" });
        IRenderedComponent<NewGiftPage> other = Ui.Render<NewGiftPage>();
        other.WaitForElement("[data-keeping]", RoomPages.Patience);

        Assert.Empty(page.FindAll(".draft-note"));
        Await(other, () => Assert.NotEmpty(other.FindAll(".draft-note")));
        Assert.Equal([false, false, false], Ui.JSInterop.Invocations.Where(i => i.Identifier == "guildStashDrafts.begin").Select(i => i.Arguments[1]));
    }

    [Fact]
    public async Task Sort_WhenALotIsCorrectedMeanwhile_BringsBackCorrectionAndBall()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(1050, 50, [])] }, Cancellation));
        Guid bag = gift.Bags[0].Id;
        LotView lot = await room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, bag, new LotInput { Grams = 96, Wraps = new WrapsInput(13, 1) }, Cancellation));
        await KeepAsync(room, DraftKeys.Ball(bag), new BenchDraft(BallForm.From(lot) with { WrapsCount = 16 }, new BallForm { Grams = 48 }));
        Enter(room);
        IRenderedComponent<BenchPage> page = Ui.Render<BenchPage>(p => p.Add(b => b.BagId, bag));

        Await(page, () => Assert.Contains("Continue your ball from", page.Find(".draft-note").TextContent, StringComparison.Ordinal));
        Assert.Equal("16", page.Find("[id='wraps.count']").GetAttribute("value"));
        await page.Find("#ball").SubmitAsync();

        Assert.Equal("48", page.Find("#grams").GetAttribute("value"));
        Assert.Empty(page.FindAll(".draft-note"));
        BenchDraft kept = DraftState.Read<BenchDraft>((await KeptAsync(room, DraftKeys.Ball(bag)))!.State)!;
        Assert.Equal((48m, null, null), (kept.Form.Grams!.Value, kept.Form.LotId, kept.PutAside));
        Assert.Equal(16, (await room.DoAsync<BenchReader, Bench>(u => u.OneAsync(room.Volunteer, bag, 10, Cancellation))).Latest[0].Wraps!.Count);
    }

    [Fact]
    public async Task Show_WhenThePseudoLanguageIsUsed_EveryTextIsLocalised()
    {
        Read(PseudoLanguage.CultureName);
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await KeepAsync(room, DraftKeys.Gift, new GiftForm { Bags = [new() { GrossGrams = 5 }] });
        IRenderedComponent<NewGiftPage> page = OpenGift(room);

        Await(page, () => Assert.NotEmpty(page.FindAll(".draft-note")));
        Assert.Empty(UntranslatedText.Find(page.Markup));
    }
}
