using Bunit;
using GuildStash.Domain.Approvals;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.SecondPerson;

/// <summary>The card of one request on its page, by who asked, who may and who may not, on a real database.</summary>
public sealed class ApprovalCardTests(PostgresFixture postgres) : DeskPages
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static Task<WroteOff> AskAsync(DeskRoom room, LotView lot, Guid by) =>
        room.Guild.DoAsync<WriteOffLot, WroteOff>(u => u.RunAsync(by, lot.Id, new WriteOffInput(120, WriteOffTo.Waste, "Felted in the wash"), Cancellation));

    [Fact]
    public async Task Card_OfWhoAsked_OffersToWithdrawAndNothingElse()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200);
        await AskAsync(room, lot, room.Volunteer);
        Enter(room, room.Volunteer);
        IRenderedComponent<SecondPersonPage> page = Open<SecondPersonPage>("/second-person");

        Says(page, $"120 g of lot {lot.Display} go to waste; 80 g stay in its bin.");
        Says(page, "“Felted in the wash”");
        Says(page, "You asked for this; another person has to approve it.");
        Assert.Equal([$"Withdraw it (Write-off, {lot.Display})"], page.FindAll(".approval button").Select(b => Words([b])));
        await PressAsync(page, $"Withdraw it (Write-off, {lot.Display})");

        Says(page, $"Withdrawn. {lot.Display} is as it was.");
        Says(page, "Nothing waits");
    }

    [Fact]
    public async Task Card_OfAVolunteersRequest_TellsAnotherVolunteerThatACoordinatorIsNeeded()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200);
        await AskAsync(room, lot, room.Volunteer);
        Guid other = await room.Guild.AddPersonAsync("Wim Volunteer", "wim@example.org", Domain.People.Role.Volunteer);
        Enter(room, other);
        Person.SetPolicies(Policies.Volunteer);
        IRenderedComponent<SecondPersonPage> page = Open<SecondPersonPage>("/second-person");

        Says(page, "One of the two has to be a coordinator: a coordinator approves this.");
        Assert.Empty(page.FindAll(".approval button"));
    }

    [Fact]
    public async Task Decline_WithoutAReason_AsksForOneAndThenTellsIt()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200);
        await AskAsync(room, lot, room.Volunteer);
        Enter(room, room.Coordinator);
        IRenderedComponent<SecondPersonPage> page = Open<SecondPersonPage>("/second-person");

        await PressAsync(page, $"Decline (Write-off, {lot.Display})");
        await page.OnAsync(".approval form", e => e.Submit());
        page.WaitForAssertion(() => Assert.NotEmpty(page.FindAll(".approval .field-error")), RoomPages.Patience);
        await page.OnAsync(".approval textarea", e => e.Change("Weigh it again first."));
        await page.OnAsync(".approval form", e => e.Submit());

        Says(page, $"Declined. {lot.Display} is as it was.");
        IRenderedComponent<SecondPersonPage> settled = Open<SecondPersonPage>("/second-person?show=settled");
        Says(settled, "“Weigh it again first.”");
        Says(settled, "declined");
        Assert.Equal(200_000, (await room.LookAsync(lot)).OnHandMg);
    }

    [Fact]
    public async Task Approve_WhenSomethingChangedWhileOneLooked_SaysWhatAndLetsOneLookAgain()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200);
        await room.Guild.DoAsync<WeighLot, WeighedLot>(u => u.RunAsync(room.Volunteer, lot.Id, 120, 1, Cancellation));
        Enter(room, room.Coordinator);
        IRenderedComponent<SecondPersonPage> page = Open<SecondPersonPage>("/second-person");
        Says(page, $"Lot {lot.Display}: the scale shows 120 g, the books have 200 g in its bin; 80 g would be taken off.");
        await room.TakenHomeAsync(lot, 30);

        await PressAsync(page, $"Approve it (Weight far from the books, {lot.Display})");
        Says(page, "Something changed while you were looking");
        IRenderedComponent<SecondPersonPage> again = Open<SecondPersonPage>("/second-person?again=1");
        Says(again, $"When lot {lot.Display} was weighed, the books had 200 g there; now they have 170 g.");
        await PressAsync(again, $"Approve it (Weight far from the books, {lot.Display})");

        Says(again, $"Lot {lot.Display} has 90 g in its bin now.");
        Assert.Equal(90_000, (await room.LookAsync(lot)).OnHandMg);
    }

    [Fact]
    public async Task Show_WhenInThePseudoLanguage_NothingStaysInEnglish()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200);
        await room.Guild.DoAsync<WeighLot, WeighedLot>(u => u.RunAsync(room.Volunteer, lot.Id, 120, 1, Cancellation));
        Enter(room, room.Coordinator);
        Read(PseudoLanguage.CultureName);
        IRenderedComponent<SecondPersonPage> page = Open<SecondPersonPage>("/second-person");
        page.WaitForElement(".approval", RoomPages.Patience);

        Assert.Empty(UntranslatedText.Find(page.Markup));
    }
}
