using System.Text.RegularExpressions;
using GuildStash.Browser.Tests.Access;
using GuildStash.Browser.Tests.Support;
using GuildStash.Domain.People;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Journeys;

/// <summary>A volunteer measures a ball by keyboard, copies a band, and prints the papers for the bench.</summary>
[Collection(DemoCollection.Name)]
public sealed class MeasureJourney(DemoSite demo)
{
    [Fact]
    public async Task Measure_WhenOneOnlyTypes_ShowsLengthPictureAndWhatToMeasureNext()
    {
        await using Visitor volunteer = await demo.EnterAsync(Role.Volunteer);
        IPage page = volunteer.Page;
        await volunteer.GoAsync("/sorting");
        await page.GetByRole(AriaRole.Link, new() { Name = "Measure a ball" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Heading, new() { Level = 1, Name = "Measure" })).ToBeVisibleAsync();
        ILocator answer = page.GetByRole(AriaRole.Complementary, new() { Name = "What it comes to" });
        await Expect(answer).ToContainTextAsync("Nothing to reckon with yet");

        await page.Locator("[id='wraps.count']").FocusAsync();
        await page.Keyboard.TypeAsync("10");
        await page.Keyboard.PressAsync("Tab");
        await page.Keyboard.TypeAsync("150");
        await Expect(answer).ToContainTextAsync(new Regex("at least \\d+\\s(yd|m)"));
        await Expect(answer.GetByRole(AriaRole.Img, new() { Name = "How long 100 g of it are, and how sure that is" })).ToBeVisibleAsync();
        await Expect(answer).ToContainTextAsync(new Regex("Weigh \\d+ (yards|m)"));

        await page.Keyboard.PressAsync("Tab");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("[id='wraps.count']")).ToBeFocusedAsync();
        await Expect(answer).ToContainTextAsync("Nothing to reckon with yet");
        Assert.Empty(volunteer.Faults);
    }

    [Fact]
    public async Task Copy_WhenABandIsTyped_FillsTheFieldsAsksAndKeepsWhatItDoesNotKnow()
    {
        await using Visitor member = await demo.EnterAsync(Role.Member, phone: true);
        IPage page = member.Page;
        await member.GoAsync("/more");
        await page.GetByRole(AriaRole.Link, new() { Name = "Measure", Exact = true }).First.ClickAsync();
        await page.GetByLabel("What the band says").PressSequentiallyAsync("4 ply 80% WO 20% PA 420 m/100 g flurpel");

        await Expect(page.Locator("[id='band.metres']")).ToHaveValueAsync("420");
        await Expect(page.Locator("[id='band.grams']")).ToHaveValueAsync("100");
        await Expect(page.Locator("mark.notunderstood")).ToHaveTextAsync("flurpel");
        await page.Locator("#plyCountry").SelectOptionAsync(new SelectOptionValue { Label = "United Kingdom" });
        await Expect(page.GetByLabel("Class, if known")).ToHaveValueAsync("Fingering");
        await Expect(page.GetByLabel("What the band says")).ToHaveValueAsync("4 ply 80% WO 20% PA 420 m/100 g flurpel");
        Assert.Empty(member.Faults);
    }

    [Theory]
    [InlineData("Wraps card, A4", "/print/wraps-card.pdf?paper=a4")]
    [InlineData("Sample gauge, Letter", "/print/sample-gauge.pdf?paper=letter")]
    public async Task Print_WhenALinkIsFollowed_ComesAsAPdf(string link, string address)
    {
        IPage page = demo.Of(Role.Member).Page;
        await page.GotoAsync("/measure");
        await demo.Of(Role.Member).SettledAsync();
        Assert.Equal(address, await page.GetByRole(AriaRole.Link, new() { Name = link }).GetAttributeAsync("href"));

        IAPIResponse answer = await page.APIRequest.GetAsync(new Uri(demo.Site.Address, address).ToString());

        Assert.Equal((200, "application/pdf"), (answer.Status, answer.Headers["content-type"]));
        Assert.True((await answer.BodyAsync()).AsSpan().StartsWith("%PDF"u8));
    }
}
