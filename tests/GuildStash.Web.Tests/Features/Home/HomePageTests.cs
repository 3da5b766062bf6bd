using AngleSharp.Html.Dom;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Home;

public sealed class HomePageTests(PostgresFixture postgres)
{
    [Fact]
    public async Task Open_WhenBagsWait_TellsHowManyAndLeadsThere()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor volunteer = await room.SignInAsync("volunteer@example.org");
        await GiveAsync(room);
        IHtmlDocument one = await volunteer.OpenAsync("/");
        await GiveAsync(room);
        IHtmlDocument two = await volunteer.OpenAsync("/");

        Assert.Equal("One bag waits to be sorted.", Sentence(one, "/sorting"));
        Assert.Equal("2 bags wait to be sorted.", Sentence(two, "/sorting"));
        Assert.Equal("No bag is in quarantine.", Sentence(two, "/intake"));
        Assert.Equal("Log a gift", two.QuerySelector(".actions a[href='/intake/new']")?.TextContent);
    }

    [Fact]
    public async Task Open_WhenAMember_OffersTheirYarnAndTheInventory()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor member = await room.SignInAsync("member@example.org");

        IHtmlDocument home = await member.OpenAsync("/");

        Assert.Equal(["/my-yarn", "/inventory", "/projects"], home.QuerySelectorAll(".way a").Select(link => link.GetAttribute("href")));
        Assert.Equal("Find yarn", home.QuerySelector(".actions a[href='/inventory']")?.TextContent);
    }

    private static Task<LoggedGift> GiveAsync(WebRoom room) =>
        room.Guild.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Guild.Volunteer, new GiftInput { Bags = [new BagInput(1000, 50, [])] }, GuildRoom.Cancellation));

    private static string? Sentence(IHtmlDocument home, string href) => home.QuerySelector($".way a[href='{href}'] .soft")?.TextContent;
}
