using GuildStash.Browser.Tests.Support;
using GuildStash.Data;
using GuildStash.Domain.People;
using GuildStash.TestSupport;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Journeys;

/// <summary>Somebody who has no account reads on a phone, without scripts, how far a drive is, and which yarn is lacking once the guild shows it.</summary>
public sealed class DriveJourney(PostgresFixture postgres, BrowserFixture browser)
{
    [Fact]
    public async Task Read_WhenAVisitorComesWithAPhone_TellsHowFarTheDriveIsAndWhatIsLacking()
    {
        await using Room room = await Room.OpenAsync(postgres, browser, who: Role.Administrator);
        await using (GuildDbContext db = GuildDatabase.Open(room.Site.OwnerConnectionString))
        {
            await OpenRecords.DriveAsync(db, "warm-hats");
            await OpenRecords.WantAsync(db);
        }

        await using IBrowserContext phone = await browser.Browser.NewContextAsync(new() { BaseURL = room.Site.Address.ToString(), ViewportSize = new() { Width = 360, Height = 740 }, JavaScriptEnabled = false, Locale = "en-GB" });
        phone.SetDefaultTimeout(20_000);
        IPage page = await phone.NewPageAsync();
        await page.GotoAsync("/drives/warm-hats");
        await Expect(page.GetByRole(AriaRole.Heading, new() { Name = "Warm hats for the night shelter" })).ToBeVisibleAsync();
        await Expect(page.GetByText("12 of 60 delivered, 18 in hand, 30 still to be made")).ToBeVisibleAsync();
        await Expect(page.Locator("tbody tr")).ToContainTextAsync("Hat");
        await Expect(page.GetByText("Machine-washable only")).ToBeVisibleAsync();
        await Expect(page.GetByText("Which yarn the guild lacks")).ToHaveCountAsync(0);
        Assert.Equal(360, (await page.Locator("html").BoundingBoxAsync())!.Width);
        Assert.True((await page.Locator("table").BoundingBoxAsync())! is { X: >= 0 } box && box.X + box.Width <= 360);
        Assert.Empty(await phone.CookiesAsync());

        // Members alone see which yarn is lacking, until the guild shows it.
        await page.GotoAsync("/wanted");
        await Expect(page.GetByRole(AriaRole.Heading, new() { Name = "Sign in" })).ToBeVisibleAsync();
        IPage admin = room.Administrator.Page;
        await room.Administrator.GoAsync("/settings");
        await admin.GetByLabel("Everybody may see which yarn is wanted").CheckAsync();
        await admin.GetByRole(AriaRole.Button, new() { Name = "Save the settings" }).ClickAsync();
        await Expect(admin.GetByText("Saved.")).ToBeVisibleAsync();

        await page.GotoAsync("/wanted");
        await Expect(page).ToHaveURLAsync(new System.Text.RegularExpressions.Regex("/wanted/open$"));
        await Expect(page.Locator("tbody tr")).ToContainTextAsync("12 × Hat");
        await page.GetByRole(AriaRole.Link, new() { Name = "Warm hats for the night shelter" }).ClickAsync();
        await Expect(page.GetByText("12 of 60 delivered")).ToBeVisibleAsync();
        await Expect(page.GetByText("Ada Admin")).ToHaveCountAsync(0);
        Assert.Empty(room.Administrator.Faults);
    }
}
