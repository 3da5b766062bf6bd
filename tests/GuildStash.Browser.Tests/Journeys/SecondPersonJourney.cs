using GuildStash.Browser.Tests.Support;
using GuildStash.Domain.People;
using GuildStash.TestSupport;
using Microsoft.Playwright;
using Npgsql;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Journeys;

/// <summary>A bag kept apart goes through a freezer that was too warm, then through a cold one, is inspected by one person and released by another.</summary>
public sealed class SecondPersonJourney(PostgresFixture postgres, BrowserFixture browser)
{
    [Fact]
    public async Task Release_WhenOneFreezesAndInspects_AnotherApprovesAndTheBagMayBeSorted()
    {
        await using Room room = await Room.OpenAsync(postgres, browser, who: [Role.Administrator, Role.Volunteer]);
        await TellAsync(room.Site, "update guild set quarantine_policy = 'EveryBag'");
        IPage page = room.Volunteer.Page;
        await room.Volunteer.GoAsync("/intake/new");
        await page.GetByLabel("Gross, grams").FillAsync("560");
        await page.GetByRole(AriaRole.Button, new() { Name = "Log this gift" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Heading, new() { Name = "The gift is logged" })).ToBeVisibleAsync();
        await TellAsync(room.Site, "update bag set quarantined_at = now() - interval '20 days'");

        await FreezeAsync(room.Volunteer, "-18");
        await Expect(page.Locator("article.freezer-run").First).ToContainTextAsync("Below protocol; this counts as no treatment. The warmest reading was −18 °C");
        await AskAsync(room.Volunteer);
        await Expect(page.GetByText("Freeze it, or wait 10 days.")).ToBeVisibleAsync();

        await FreezeAsync(room.Volunteer, "-21.5");
        await Expect(page.GetByText("meets the guild's protocol. Now the release can be asked for.")).ToBeVisibleAsync();
        await AskAsync(room.Volunteer);
        await Expect(page.Locator("article.approval")).ToContainTextAsync("another person has to approve it");
        await Expect(page.GetByRole(AriaRole.Button, new() { Name = "Approve it" })).ToHaveCountAsync(0);

        IPage second = room.Administrator.Page;
        await room.Administrator.GoAsync("/");
        await second.GetByRole(AriaRole.Link, new() { Name = "Second person" }).First.ClickAsync();
        await Expect(second.Locator("article.approval")).ToContainTextAsync("leaves quarantine and can be sorted into open bins");
        await second.GetByRole(AriaRole.Button, new() { Name = "Approve it" }).ClickAsync();
        await Expect(second.GetByText("It may be sorted into open bins.")).ToBeVisibleAsync();
        await Expect(second.GetByRole(AriaRole.Heading, new() { Name = "Nothing waits" })).ToBeVisibleAsync();

        Assert.Empty(room.Volunteer.Faults);
        Assert.Empty(room.Administrator.Faults);
        await room.Site.AssertBooksAreCleanAsync();
    }

    /// <summary>Puts what waits into the freezer eighteen days ago and takes it out eight days later.</summary>
    private static async Task FreezeAsync(Visitor volunteer, string warmest)
    {
        IPage page = volunteer.Page;
        await volunteer.GoAsync("/freezer");
        await volunteer.SettledAsync();
        await page.Locator("fieldset.candidates input").First.CheckAsync();
        await page.GetByLabel("They went in").FillAsync(Ago(18));
        await page.GetByRole(AriaRole.Button, new() { Name = "Start this run" }).ClickAsync();
        await Expect(page.GetByText("The run has begun.")).ToBeVisibleAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Take out and inspect" }).ClickAsync();
        await page.GetByLabel("They came out").FillAsync(Ago(10));
        await page.GetByLabel("Fully thawed, before opening").FillAsync(Ago(9));
        await page.GetByLabel("Warmest reading").FillAsync(warmest);
        await page.GetByLabel("Coldest reading").FillAsync("-24");
        await page.GetByLabel("What was looked at and found").FillAsync("Looked through in daylight, nothing seen.");
        await page.GetByRole(AriaRole.Button, new() { Name = "Record this run" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Button, new() { Name = "Record this run" })).ToHaveCountAsync(0);
    }

    private static async Task AskAsync(Visitor volunteer)
    {
        IPage page = volunteer.Page;
        await volunteer.GoAsync("/intake?show=quarantine");
        await page.Locator("a.open").First.ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Inspect and release" }).ClickAsync();
        await page.GetByLabel("What was looked at and found").FillAsync("Opened over white paper, nothing seen.");
        await page.GetByRole(AriaRole.Button, new() { Name = "Ask to release bag 1" }).ClickAsync();
    }

    private static string Ago(int days) => DateTime.UtcNow.AddDays(-days).ToString("yyyy-MM-dd'T'HH:mm", System.Globalization.CultureInfo.InvariantCulture);

    private static async Task TellAsync(Site site, string sql)
    {
        await using NpgsqlConnection connection = new(site.OwnerConnectionString);
        await connection.OpenAsync(Site.Cancellation);
        await using NpgsqlCommand command = new(sql, connection);
        await command.ExecuteNonQueryAsync(Site.Cancellation);
    }
}
