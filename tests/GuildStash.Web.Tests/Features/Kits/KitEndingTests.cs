using Bunit;
using GuildStash.Data.Projects;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Features.MyYarn;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Support;
using Xunit;
using static GuildStash.Web.Tests.Features.Kits.KitRoom;

namespace GuildStash.Web.Tests.Features.Kits;

/// <summary>The last yarn of a kit, wherever it is booked as used up: nobody ends a kit without a word on its pieces.</summary>
public sealed class KitEndingTests(PostgresFixture postgres) : DeskPages
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task UseUp_WhenItIsTheKitsLastYarn_AsksForThePiecesAndBooksNothing()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.AtHomeAsync([(await room.Desk.LotAsync(150), 100), (await room.Desk.LotAsync(60), 30)], pieces: 3);

        Ok(await UseUpAsync(room, kit.Lines[0], null));
        Outcome<bool> unsaid = await UseUpAsync(room, kit.Lines[1], null);

        Refuse.Rule("kit-pieces-unsaid", "pieces", unsaid);
        Assert.Equal($"With this, nothing of kit {kit.Number} is left, and 0 of its 3 pieces are written down. Say how many more are finished; 0 if none, with the reason.", unsaid.Refusal.ToString());
        Assert.Equal(KitState.AtHome, (await room.LookAsync(kit.Number)).State);
        Ok(await UseUpAsync(room, kit.Lines[1], new PiecesSaid(2, null)));
        Assert.Equal((KitState.Done, 2), ((await room.LookAsync(kit.Number)).State, (await room.LookAsync(kit.Number)).Finished));
        PieceRecord finished = Assert.Single(await room.RecordsAsync(), r => r.Step == PieceStep.Finished);
        Assert.Equal((2, 130_000, room.Desk.Member), (finished.Pieces, finished.UsedMg!.Value, finished.MakerId!.Value));
    }

    [Fact]
    public async Task UseUp_WhenNoPieceWasFinished_WantsTheReasonAndKeepsIt()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.AtHomeAsync([(await room.Desk.LotAsync(150), 100)], pieces: 2);

        Refuse.Rule("invalid-value", "why", await UseUpAsync(room, kit.Lines[0], new PiecesSaid(0, " ")));
        Refuse.Rule("invalid-value", "pieces", await UseUpAsync(room, kit.Lines[0], new PiecesSaid(-1, "")));
        Refuse.Rule("invalid-value", "pieces", await UseUpAsync(room, kit.Lines[0], new PiecesSaid(5, "")));
        Ok(await UseUpAsync(room, kit.Lines[0], new PiecesSaid(0, "The dog had it.")));

        KitView ended = await room.LookAsync(kit.Number);
        Assert.Equal(KitState.Done, ended.State);
        Assert.Equal(["The dog had it."], ended.Endings);
        Assert.DoesNotContain(await room.RecordsAsync(), r => r.Step == PieceStep.Finished);
    }

    [Fact]
    public async Task UseUp_WhenThePiecesAreWrittenDownOrAllCameBack_AsksNothing()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView made = await room.AtHomeAsync([(await room.Desk.LotAsync(150), 100)]);
        KitView unused = await room.AtHomeAsync([(await room.Desk.LotAsync(150), 100)]);

        Ok(await room.FinishAsync(made, 1, false));
        Ok(await UseUpAsync(room, made.Lines[0], null));
        Ok(await room.Desk.TryTakeBackAsync(unused.Lines[0].CheckoutId!.Value, new ReturnInput(100, [])));

        Assert.Equal(KitState.Done, (await room.LookAsync(made.Number)).State);
        Assert.Equal(KitState.Done, (await room.LookAsync(unused.Number)).State);
    }

    [Fact]
    public async Task TakeBack_WhenTheRestOfAKitIsUsedUp_AsksAtTheDeskToo()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.AtHomeAsync([(await room.Desk.LotAsync(150), 100)]);
        Guid home = kit.Lines[0].CheckoutId!.Value;

        Refuse.Rule("kit-pieces-unsaid", "pieces", await room.Desk.TryTakeBackAsync(home, new ReturnInput(33, [], IsAll: true)));
        Assert.Equal(100_000, (await room.LookAsync(kit.Number)).Lines[0].AtHomeMg);
        Ok(await room.Desk.TryTakeBackAsync(home, new ReturnInput(33, [], IsAll: true, new PiecesSaid(1, null))));

        Assert.Equal(67_000, Assert.Single(await room.RecordsAsync(), r => r.Step == PieceStep.Finished).UsedMg);
    }

    [Fact]
    public async Task Finish_WhenNothingWasMadeAndNothingIsLeft_TheNoteSaysWhy()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.AtHomeAsync([(await room.Desk.LotAsync(150), 100)]);

        Refuse.Rule("invalid-value", "note", await room.FinishAsync(kit, 0, true));
        Ok(await room.UseAsync<FinishKit, FinishedKit>(u => u.RunAsync(
            room.Desk.Member, kit.Id, new FinishInput(0, null, new Dictionary<Guid, decimal?>(), null, true, "Felted by mistake."), null, Cancellation)));

        Assert.Equal(["Felted by mistake."], (await room.LookAsync(kit.Number, room.Desk.Member)).Endings);
    }

    [Fact]
    public async Task MyYarn_WhenTheLastYarnOfAKitIsUsedUp_AsksInPlaceAndSaysWhatWasWrittenDown()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.AtHomeAsync([(await room.Desk.LotAsync(150), 100)], pieces: 3);
        Enter(room.Desk, room.Desk.Member);
        IRenderedComponent<MyYarnPage> page = Open<MyYarnPage>("/my-yarn");
        string form = $"#used-{kit.Lines[0].CheckoutId!.Value:N}";

        await PressAsync(page, $"Used up lot {kit.Lines[0].Lot.Display}");
        Says(page, $"This is the last yarn of kit {kit.Number}. Finished by what is written down: 0 of 3.");
        await page.OnAsync(form, e => e.Submit());
        Says(page, $"{form}-pieces-error", $"With this, nothing of kit {kit.Number} is left, and 0 of its 3 pieces are written down. Say how many more are finished; 0 if none, with the reason.");
        await page.OnAsync($"{form}-pieces", e => e.Input("0"));
        await page.OnAsync(form, e => e.Submit());
        Says(page, $"{form}-why-error", $"The yarn of kit {kit.Number} is used up and no more pieces are finished. Say in a few words what became of it.");
        await page.OnAsync($"{form}-pieces", e => e.Input("2"));
        await page.OnAsync(form, e => e.Submit());

        Says(page, $"and 2 pieces of kit {kit.Number} are written down as finished. Thank you.");
        Assert.Equal(2, (await room.LookAsync(kit.Number)).Finished);
    }

    [Fact]
    public async Task Desk_WhenTheRestIsUsedUp_AsksInPlace()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.AtHomeAsync([(await room.Desk.LotAsync(150), 100)]);
        Read(PseudoLanguage.CultureName);
        Enter(room.Desk, room.Desk.Volunteer);
        IRenderedComponent<TakeBackForm> form = Ui.Render<TakeBackForm>(p => p.Add(x => x.Yarn, AtHome(kit)));

        Assert.Empty(form.FindAll(".stepper"));
        await form.OnAsync("form > label.check input", e => e.Change(true));
        await form.OnAsync(".stepper input", e => e.Input("0"));

        form.WaitForElement($"#back-{kit.Lines[0].CheckoutId!.Value:N}-kit-why", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(form.Markup));
    }

    private static AtHome AtHome(KitView kit) => new(
        kit.Lines[0].CheckoutId!.Value, kit.MemberId, kit.MemberName, kit.ProjectId, kit.ProjectName, new DateOnly(2030, 1, 1), false, kit.CreatedAt, 100_000, 100_000, null, kit.Lines[0].Lot)
    {
        Kit = new AtHomeKit(kit.Number, kit.PieceName, kit.Pieces, kit.Finished, IsLast: true),
    };

    private static Task<Outcome<bool>> UseUpAsync(KitRoom room, KitLineView line, PiecesSaid? said) =>
        room.UseAsync<FinishCheckout, bool>(u => u.RunAsync(room.Desk.Member, line.CheckoutId!.Value, said, Cancellation));
}
