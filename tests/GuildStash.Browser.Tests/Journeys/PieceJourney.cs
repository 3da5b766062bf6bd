using System.Text.RegularExpressions;
using GuildStash.Browser.Tests.Access;
using GuildStash.Browser.Tests.Support;
using GuildStash.Domain.People;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Journeys;

/// <summary>A coordinator weighs a swatch, makes a piece of it, and wants twelve of it in a project.</summary>
[Collection(DemoCollection.Name)]
public sealed class PieceJourney(DemoSite demo)
{
    [Fact]
    public async Task Make_WhenReckonedFromASwatch_AProjectWantsTwelveOfIt()
    {
        await using Visitor coordinator = await demo.EnterAsync(Role.Coordinator);
        IPage page = coordinator.Page;
        await coordinator.GoAsync("/projects");
        await page.Locator(".actions").GetByRole(AriaRole.Link, new() { Name = "Piece book" }).ClickAsync();
        await page.GetByRole(AriaRole.Link, new() { Name = "New piece" }).ClickAsync();
        await ReckonAsync(page);
        await page.GetByRole(AriaRole.Button, new() { Name = "Write it into the book" }).ClickAsync();

        await Expect(page.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToContainTextAsync("Harbour cowl");
        await Expect(page.Locator("main")).ToContainTextAsync("By a swatch of 4 × 4 in that took 6 g of yarn with 220 yd/100 g, for 24 × 10 in.");
        await WantAsync(coordinator, page);
        await page.Locator("main td").GetByRole(AriaRole.Link, new() { Name = "Harbour cowl" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Complementary)).ToContainTextAsync("12 Harbour cowl, Cowls for the harbour crew");
        Assert.Empty(coordinator.Faults);
    }

    /// <summary>Computed: 6 g of 220 yd/100 g are 13.2 yd for 16 square inches, so 198 yd for 240; 188.1 at least, 217.8 safe.</summary>
    private static async Task ReckonAsync(IPage page)
    {
        await page.GetByLabel("Name", new() { Exact = true }).FillAsync("Harbour cowl");
        await page.GetByRole(AriaRole.Button, new() { Name = "Reckon the length" }).ClickAsync();
        ILocator ways = page.GetByRole(AriaRole.Region, new() { Name = "Ways to reckon the length" });
        await ways.GetByLabel("Width or round").FillAsync("24");
        await ways.GetByLabel("Height", new() { Exact = true }).FillAsync("10");
        await ways.GetByLabel("Swatch's width").FillAsync("4");
        await ways.GetByLabel("Swatch's height").FillAsync("4");
        await ways.GetByLabel("or its grams").FillAsync("6");
        await ways.GetByLabel("100 g of the yarn are").FillAsync("220");
        await Expect(ways).ToContainTextAsync(new Regex(@"218\syd \(200\sm\)\s+probably 198\syd, at least 188\syd"));
        await ways.GetByRole(AriaRole.Button, new() { NameRegex = new Regex(@"^Use this\s*: 218\syd$") }).ClickAsync();
        await Expect(page.Locator("#part-0-safe")).ToHaveValueAsync("217.8");
        await page.GetByLabel("DK", new() { Exact = true }).CheckAsync();
        await page.GetByLabel("Colour", new() { Exact = true }).SelectOptionAsync(new SelectOptionValue { Value = "OneLot" });
    }

    private static async Task WantAsync(Visitor coordinator, IPage page)
    {
        await coordinator.GoAsync("/projects/new");
        await page.GetByLabel("Name", new() { Exact = true }).FillAsync("Cowls for the harbour crew");
        await page.GetByLabel("Number", new() { Exact = true }).FillAsync("12");
        await page.GetByLabel("In the piece book").SelectOptionAsync(new SelectOptionValue { Label = "Harbour cowl" });
        await Expect(page.GetByLabel("Piece", new() { Exact = true })).ToHaveValueAsync("Harbour cowl");
        await page.GetByRole(AriaRole.Button, new() { Name = "Start the project" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToContainTextAsync("Cowls for the harbour crew");
    }
}
