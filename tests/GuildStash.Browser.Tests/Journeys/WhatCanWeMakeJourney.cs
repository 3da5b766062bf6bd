using GuildStash.Browser.Tests.Support;
using GuildStash.Data;
using GuildStash.Data.Projects;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using Microsoft.EntityFrameworkCore;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Journeys;

/// <summary>A member asks what can be made of the room's yarn, sees the answer come, and takes it: the yarn is held in kits.</summary>
public sealed class WhatCanWeMakeJourney(PostgresFixture postgres, BrowserFixture browser)
{
    [Fact]
    public async Task Plan_WhenAskedByAMember_BecomesKitsWhoseYarnIsHeld()
    {
        await using Room room = await Room.OpenAsync(postgres, browser);
        string lot = await SortAsync(room.Volunteer);
        await EnterPieceAsync(room.Site);
        IPage page = room.Member.Page;

        await room.Member.GoAsync("/plans");
        await page.GetByRole(AriaRole.Link, new() { Name = "Ask for the first one" }).ClickAsync();
        await page.GetByLabel("A piece of the piece book").SelectOptionAsync(new SelectOptionValue { Label = "Harbour hat" });
        await page.GetByLabel("How many of Harbour hat").FillAsync("3");
        await page.GetByRole(AriaRole.Button, new() { Name = "Plan it" }).ClickAsync();

        await Expect(page.GetByText("All 3 pieces can be made, from one lot.")).ToBeVisibleAsync(new() { Timeout = 60_000 });
        await Expect(page.Locator("table.yarn tbody tr")).ToHaveCountAsync(3);
        await Expect(page.Locator("table.yarn").GetByText(lot).First).ToBeVisibleAsync();
        await Expect(page.GetByText("proven: no plan does better").First).ToBeVisibleAsync();

        await page.GetByLabel("Harbour hat in a kit").FillAsync("2");
        await page.GetByRole(AriaRole.Button, new() { Name = "Make 2 kits" }).ClickAsync();
        await Expect(page.Locator(".kits li")).ToHaveCountAsync(2);
        await Expect(page.GetByText("for 2 pieces")).ToBeVisibleAsync();
        await Expect(page.GetByRole(AriaRole.Button, new() { Name = "Make 2 kits" })).ToHaveCountAsync(0);

        await room.Member.GoAsync("/my-yarn");
        await page.GetByRole(AriaRole.Link, new() { Name = "K-" }).First.ClickAsync();
        await Expect(page.GetByText(lot).First).ToBeVisibleAsync();
        Assert.Empty(room.Member.Faults);
        await room.Site.AssertBooksAreCleanAsync();
    }

    /// <returns>The lot's code in groups.</returns>
    private static async Task<string> SortAsync(Visitor volunteer)
    {
        IPage page = volunteer.Page;
        await volunteer.GoAsync("/intake/new");
        await page.GetByLabel("Gross, grams").FillAsync("900");
        await page.GetByRole(AriaRole.Button, new() { Name = "Log this gift" }).ClickAsync();
        await page.GetByRole(AriaRole.Link, new() { Name = "Sort bag 1" }).ClickAsync();
        await volunteer.InteractiveAsync();
        await page.GetByLabel("Class, if known").SelectOptionAsync(new SelectOptionValue { Value = "Aran" });
        await page.GetByLabel("Grams", new() { Exact = true }).FillAsync("400");
        await page.GetByRole(AriaRole.Button, new() { Name = "Save this ball" }).ClickAsync();
        ILocator label = page.GetByRole(AriaRole.Link, new() { Name = "Label of " }).First;
        await Expect(label).ToBeVisibleAsync();
        return (await label.GetAttributeAsync("aria-label"))!.Replace("Label of", "", StringComparison.Ordinal).Trim();
    }

    /// <summary>A line of the piece book, put there beside the page that enters it, which has a journey of its own.</summary>
    private static async Task EnterPieceAsync(Site site)
    {
        await using GuildDbContext db = GuildDatabase.Open(site.OwnerConnectionString);
        Guid person = await db.People.Select(p => p.Id).FirstAsync(TestContext.Current.CancellationToken);
        Piece piece = new() { Name = "Harbour hat", CreatedAt = DateTimeOffset.UtcNow, CreatedById = person, ChangedAt = DateTimeOffset.UtcNow, ChangedById = person };
        piece.Parts.Add(new() { PieceId = piece.Id, Name = "Body", MetresLow = 90, MetresLikely = 100, MetresSafe = 110, WeightClasses = [WeightClass.Aran] });
        db.Pieces.Add(piece);
        await db.SaveChangesAsync(TestContext.Current.CancellationToken);
    }
}
