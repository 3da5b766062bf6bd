using Bunit;
using GuildStash.Data;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Intake;

/// <summary>The page of who saw and who changed donors' data.</summary>
public sealed class DonorTrailPageTests(OneDesk desk) : DeskPages, IClassFixture<OneDesk>
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Search_WhenAnAdministratorFinds_ShowsWhoDidWhatAndNotesTheLookItself()
    {
        LoggedGift gift = await desk.Room.Guild.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(
            desk.Room.Volunteer, new GiftInput { DonorName = "Dora Donorly", DonorContact = "dora@example.org", Bags = [new BagInput(500, 0, [])] }, Cancellation));
        await desk.Room.Guild.DoAsync<GiftReader, GiftView>(u => u.OfBagAsync(desk.Room.Coordinator, gift.Bags[0].Id, Cancellation));
        await using (GuildDbContext db = desk.Room.Guild.Look())
        {
            await DonorTrail.TookAllByConsoleAsync(db, Cancellation);
        }

        Enter(desk.Room, desk.Room.Guild.Administrator);
        Person.SignIn(desk.Room.Guild.Administrator, "administrator");
        Person.SetPolicies(Policies.Volunteer, Policies.Coordinator, Policies.Administrator);
        IRenderedComponent<DonorTrailPage> page = Open<DonorTrailPage>("/safe-keeping/donors?page=1");
        page.WaitForAssertion(() => Assert.Equal(3, Rows(page).Length), RoomPages.Patience);
        string[] rows = Rows(page);
        Assert.StartsWith("every donor operator of the machine saw name and contact the console", rows[0], StringComparison.Ordinal);
        Assert.StartsWith("Dora Donorly Cora Coordinator saw ", rows[1], StringComparison.Ordinal);
        Assert.StartsWith("Dora Donorly Vera Volunteer entered name and contact a page", rows[2], StringComparison.Ordinal);

        await page.OnAsync("input[type=search]", e => e.Change(" ada "));
        await page.OnAsync("form[role=search]", e => e.Submit());
        page.WaitForAssertion(() => Assert.EndsWith("/safe-keeping/donors?person=ada", Navigation.Uri, StringComparison.Ordinal), RoomPages.Patience);
        page.WaitForAssertion(() => Assert.StartsWith("every donor Ada Admin saw the name a page", Assert.Single(Rows(page)), StringComparison.Ordinal), RoomPages.Patience);

        await page.OnAsync("input[type=search]", e => e.Change("nobody of this name"));
        await page.OnAsync("form[role=search]", e => e.Submit());
        Says(page, "Nobody whose name or address contains \"nobody of this name\" saw or changed a donor's data.");
        Assert.Equal("/safe-keeping/donors", page.Find("form[role=search] a").GetAttribute("href"));
    }

    [Fact]
    public void Open_WhenTheRightWasTakenMeanwhile_SaysSoAndShowsNoLine()
    {
        Enter(desk.Room, desk.Room.Coordinator);

        IRenderedComponent<DonorTrailPage> page = Open<DonorTrailPage>("/safe-keeping/donors");

        page.WaitForElement("[role=alert]", RoomPages.Patience);
        Assert.Empty(page.FindAll("table, .skeleton"));
    }

    private static string[] Rows(IRenderedComponent<DonorTrailPage> page) => [.. page.FindAll("tbody tr").Select(row => Words(row.Children))];
}
