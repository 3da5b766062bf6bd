using AngleSharp.Dom;
using Bunit;
using GuildStash.Domain.Projects;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Features.Pieces;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Localization;
using Xunit;
using static GuildStash.Web.Tests.Features.Kits.KitRoom;

namespace GuildStash.Web.Tests.Features.Kits;

/// <summary>The pages of kits, on a real database.</summary>
public sealed class KitPageTests(PostgresFixture postgres) : DeskPages
{
    [Fact]
    public async Task WeighOut_ByKeyboard_KeepsEachLineAndGoesToTheNext()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        LotView blue = await room.Desk.LotAsync(150);
        LotView red = await room.Desk.LotAsync(80);
        KitView kit = await room.KitAsync([(blue, 100), (red, 40)]);
        Enter(room.Desk, room.Desk.Volunteer);
        JSRuntimeInvocationHandler focus = Ui.JSInterop.SetupVoid("guildStash.focusId", _ => true);
        focus.SetVoidResult();
        IRenderedComponent<KitPage> page = Open<KitPage>($"/kits/{kit.Number}", p => p.Add(x => x.Number, kit.Number));

        await page.OnAsync($"#weigh-{kit.Lines[0].Id:N}", e => e.Submit());
        Says(page, $"#weigh-{kit.Lines[0].Id:N}-grams-error", "Enter the grams that the scale shows.");
        await page.OnAsync($"#weigh-{kit.Lines[0].Id:N}-grams", e => e.Input("95"));
        await page.OnAsync($"#weigh-{kit.Lines[0].Id:N}", e => e.Submit());
        Says(page, "1 of 2 weighed");
        Says(page, "5 g less than planned: about");
        Assert.Equal($"weigh-{kit.Lines[1].Id:N}-grams", focus.Invocations.Last().Arguments[0]);
        await page.OnAsync($"#weigh-{kit.Lines[1].Id:N}-grams", e => e.Input("41.5"));
        await page.OnAsync($"#weigh-{kit.Lines[1].Id:N}", e => e.Submit());

        Says(page, $"Kit {kit.Number} is packed.");
        Says(page, "Hand the kit over");
        Assert.Equal([95_000, 41_500], (await room.LookAsync(kit.Number)).Lines.Select(l => l.WeighedMg!.Value));
    }

    [Fact]
    public async Task Kit_WhenMilligramsWerePlanned_ItsFieldsExpectATenthOfAGram()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.KitAsync([(await room.Desk.LotAsync(150), 36.951m)]);
        Enter(room.Desk, room.Desk.Volunteer);

        IRenderedComponent<KitPage> page = Open<KitPage>($"/kits/{kit.Number}", p => p.Add(x => x.Number, kit.Number));
        Assert.Equal("37", page.WaitForElement($"#weigh-{kit.Lines[0].Id:N}-grams", RoomPages.Patience).GetAttribute("placeholder"));

        Ok(await room.WeighAsync(kit.Lines[0], 36.951m));
        IRenderedComponent<KitPage> packed = Open<KitPage>($"/kits/{kit.Number}", p => p.Add(x => x.Number, kit.Number));
        Assert.Equal("37", packed.WaitForElement("#kit-give input[placeholder^='3']", RoomPages.Patience).GetAttribute("placeholder"));
    }

    [Theory]
    [InlineData(0.0001, "under 1 in 200")]
    [InlineData(0.005, "about 1 in 200")]
    [InlineData(0.126, "about 1 in 8")]
    [InlineData(0.45, "about 1 in 2")]
    [InlineData(0.66, "about 7 in 10")]
    [InlineData(0.9499, "about 9 in 10")]
    [InlineData(1, "almost certain")]
    public void Chance_IsSaidInWords(double chance, string words) => Assert.Equal(words, Ui.Services.GetRequiredService<IStringLocalizer<Texts>>().Chance(Display, chance));

    [Fact]
    public async Task WeighOut_WhenLessIsWeighedThanThePieceNeeds_TellsTheChanceInWords()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        await room.BookAsync(80, 80, 80);
        LotView lot = await room.Desk.LotAsync(150);
        KitView kit = await room.KitAsync([(lot, Math.Ceiling((decimal)(8000 / lot.MetresPer100gLow!.Value)))]);
        Ok(await room.WeighAsync(kit.Lines[0], (decimal)(8000 / lot.MetresPer100gLikely!.Value)));
        Enter(room.Desk, room.Desk.Volunteer);
        Navigation.NavigateTo($"/kits/{kit.Number}?do=weigh");

        Says(Ui.Render<KitPage>(p => p.Add(x => x.Number, kit.Number)), "Chance of running short with what is weighed: about 1 in 2.");
    }

    [Fact]
    public async Task WeighOut_WhenTheKitIsPacked_KeepsWhoWasChosenForIt()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.KitAsync([(await room.Desk.LotAsync(150), 100)]);
        Enter(room.Desk, room.Desk.Volunteer);
        IRenderedComponent<KitPage> page = Open<KitPage>($"/kits/{kit.Number}", p => p.Add(x => x.Number, kit.Number));
        await page.OnAsync("#kit-give input[type=search]", e => e.Input("Mia"));
        page.WaitForAssertion(() => Assert.NotEmpty(page.FindAll("p.chosen")), RoomPages.Patience);

        await page.OnAsync($"#weigh-{kit.Lines[0].Id:N}-grams", e => e.Input("100"));
        await page.OnAsync($"#weigh-{kit.Lines[0].Id:N}", e => e.Submit());

        Says(page, $"Kit {kit.Number} is packed.");
        Assert.NotEmpty(page.FindAll("p.chosen"));
    }

    [Fact]
    public async Task WeighOut_WhenALineIsTakenBack_IsOpenAgain()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        LotView lot = await room.Desk.LotAsync(150);
        KitView kit = await room.KitAsync([(lot, 100), (lot, 20)]);
        Ok(await room.WeighAsync(kit.Lines[0], 100));
        Enter(room.Desk, room.Desk.Volunteer);
        IRenderedComponent<KitPage> page = Open<KitPage>($"/kits/{kit.Number}", p => p.Add(x => x.Number, kit.Number));

        await PressAsync(page, $"Take it back lot {lot.Display}");

        Says(page, $"The weighing of lot {lot.Display} was taken back.");
        Says(page, "0 of 2 weighed");
    }

    [Fact]
    public async Task Kit_WhenItsHoldHasLapsed_SaysSoAndHoldsItAgain()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.KitAsync([(await room.Desk.LotAsync(150), 100)]);
        await room.Desk.RunOutAsync(kit.Lines[0].HoldId);
        Enter(room.Desk, room.Desk.Volunteer);
        IRenderedComponent<KitPage> page = Open<KitPage>($"/kits/{kit.Number}", p => p.Add(x => x.Number, kit.Number));
        Says(page, "Some of its yarn is not held any more");

        await PressAsync(page, "Hold it again");

        Says(page, "Its yarn is kept until");
        Assert.False((await room.LookAsync(kit.Number)).HasLapsed);
    }

    [Fact]
    public async Task Kit_WhenAMemberTakesAndFinishesIt_NeedsNoVolunteerForTheWords()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.KitAsync([(await room.Desk.LotAsync(150), 100)], pieces: 2);
        Enter(room.Desk, room.Desk.Member);
        IRenderedComponent<KitPage> page = Open<KitPage>($"/kits/{kit.Number}", p => p.Add(x => x.Number, kit.Number));

        await PressAsync(page, "I'll make this");
        Says(page, "It is yours to make.");
        Assert.DoesNotContain("Weigh out", Words(page.Nodes), StringComparison.Ordinal);
        Ok(await room.WeighAsync(kit.Lines[0], 100));
        Ok(await room.HandOverAsync(kit));
        IRenderedComponent<KitPage> home = Open<KitPage>($"/kits/{kit.Number}", p => p.Add(x => x.Number, kit.Number));
        home.WaitForElement("#kit-finish", RoomPages.Patience);
        await home.OnAsync("#kit-finish input[type=checkbox]", e => e.Change(true));
        await home.OnAsync("#kit-finish", e => e.Submit());

        Says(home, "Thank you: 2 finished. This kit took 100 g.");
        Assert.Equal(KitState.Done, (await room.LookAsync(kit.Number)).State);
    }

    [Fact]
    public async Task Pick_WhenALineIsTicked_StaysTickedAfterAReload()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.KitAsync([(await room.Desk.LotAsync(150), 100), (await room.Desk.LotAsync(80), 40)]);
        Enter(room.Desk, room.Desk.Volunteer);
        IRenderedComponent<PickPage> page = Open<PickPage>($"/kits/pick?kit={kit.Number}");
        Says(page, "0 of 2 fetched");

        await page.OnAsync(".pick-lines input", e => e.Change(true));
        Says(page, "1 of 2 fetched");

        IRenderedComponent<PickPage> again = Open<PickPage>("/kits/pick");
        Says(again, "1 of 2 fetched");
        Assert.Single(again.FindAll("li.picked"));
    }

    [Fact]
    public async Task NewKit_WhenFilledIn_IsMadeForTheProjectsPiece()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        LotView lot = await room.Desk.LotAsync(150);
        Enter(room.Desk, room.Desk.Volunteer);
        IRenderedComponent<NewKitPage> page = Open<NewKitPage>($"/kits/new?lots={lot.Code}&for={room.Hats}");

        page.WaitForElement(".wish select", RoomPages.Patience);
        await page.OnAsync(".wish select", e => e.Change("grams"));
        await page.OnAsync($"#amount-{lot.Code}", e => e.Input("200"));
        await page.OnAsync("#kit", e => e.Submit());
        page.WaitForElement($"#amount-{lot.Code}-error", RoomPages.Patience);
        page.WaitForElement("#kit:not([aria-busy])", RoomPages.Patience);
        await page.OnAsync($"#amount-{lot.Code}", e => e.Input("60"));
        await page.OnAsync("#kit", e => e.Submit());

        page.WaitForAssertion(() => Assert.Contains("/kits/K-", Navigation.Uri, StringComparison.Ordinal), RoomPages.Patience);
        Assert.Equal(60_000, (await room.Desk.LookAsync(lot)).HeldMg);
    }

    [Fact]
    public async Task Progress_WhenPiecesAreWrittenDown_TheTableFollowsAndARecordIsTakenBack()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        Enter(room.Desk, room.Desk.Volunteer);
        IRenderedComponent<ProjectProgress> block = Open<ProjectProgress>("/projects", p => p.Add(x => x.ProjectId, room.Project));

        block.WaitForElement("#record-count", RoomPages.Patience);
        await block.OnAsync("#record-count", e => e.Input("13"));
        await block.OnAsync("#record-pieces", e => e.Submit());
        Says(block, "Written down: 13 finished of 12 wanted, 0 handed over.");
        Says(block, "More were made than wanted: 13 instead of 12. Thank you.");
        Assert.Equal(["12", "0", "0", "13", "0"], block.FindAll("tbody td.n").Select(n => n.TextContent));

        await block.InvokeAsync(() => block.FindAll(".records button").Single().Click());
        Says(block, "The record was taken back.");
        Assert.Equal(0, (await room.ProgressAsync()).Finished);
    }

    [Fact]
    public async Task OwnData_WhenPiecesTookMoreThanTheBookSays_OffersWhatWouldBeSafe()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        await room.BookAsync(1, 2, 3);
        LotView lot = await room.Desk.LotAsync(1000);
        Ok(await room.FinishAsync(await room.AtHomeAsync([(lot, 50)]), 1, true));
        Enter(room.Desk, room.Desk.Volunteer);
        Says(Open<OwnPieceData>("/projects", p => p.Add(x => x.PieceId, room.Piece)), "1 piece from 1 kit. One took");
        foreach (decimal grams in (decimal[])[55, 60])
        {
            Ok(await room.FinishAsync(await room.AtHomeAsync([(lot, grams)]), 1, true));
        }

        OwnProposal? used = null;
        IRenderedComponent<OwnPieceData> own = Open<OwnPieceData>("/projects", p => p.Add(x => x.PieceId, room.Piece).Add(x => x.Use, proposal => used = proposal));
        Says(own, "3 pieces from 3 kits.");
        Says(own, "They took more than the book's safe figure");
        await PressAsync(own, "Use it Body");

        Assert.True(used!.Low < used.Likely && used.Likely < used.Safe);
        Assert.Equal(55 * lot.MetresPer100gLikely!.Value / 100, used.Likely, 1e-6);
        Assert.Equal(3, own.FindAll("circle").Count);
    }

    [Fact]
    public async Task PiecePage_WhenItsOwnDataAreUsed_ChangesTheBookAndGoesBack()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        await room.BookAsync(1, 2, 3);
        await room.Desk.OwnerSqlAsync($"update piece_part set weight_classes = array['Dk'] where piece_id = {room.Piece}");
        LotView lot = await room.Desk.LotAsync(1000);
        foreach (decimal grams in (decimal[])[50, 55, 60])
        {
            Ok(await room.FinishAsync(await room.AtHomeAsync([(lot, grams)]), 1, true));
        }

        Enter(room.Desk, room.Desk.Volunteer);
        IRenderedComponent<PiecePage> page = Open<PiecePage>($"/pieces/{room.Piece}", p => p.Add(x => x.Id, room.Piece));
        Says(page, "They took more than the book's safe figure");
        await PressAsync(page, "Use it Body");
        Says(page, "plans reckon with it");
        Assert.Equal(55 * lot.MetresPer100gLikely!.Value / 100, await LikelyAsync(), 1e-6);

        await PressAsync(page, "Undo that");
        Says(page, "what it said before");
        Assert.Equal(2, await LikelyAsync(), 1e-9);

        Task<double> LikelyAsync() => room.Desk.AskAsync(db => db.PieceParts.Where(p => p.PieceId == room.Piece).Select(p => p.MetresLikely).SingleAsync(GuildRoom.Cancellation));
    }

    [Fact]
    public async Task Give_WhenNobodyIsChosen_AsksWhoTakesItAtThatField()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.KitAsync([(await room.Desk.LotAsync(150), 100)]);
        Ok(await room.WeighAsync(kit.Lines[0], 100));
        Enter(room.Desk, room.Desk.Volunteer);
        IRenderedComponent<KitPage> page = Open<KitPage>($"/kits/{kit.Number}", p => p.Add(x => x.Number, kit.Number));

        await PressAsync(page, "Hand the kit over");
        await page.OnAsync("#kit-give", e => e.Submit());

        Says(page, "#memberId-error", $"Nobody makes kit {kit.Number} yet. Choose who takes it.");
    }
}
