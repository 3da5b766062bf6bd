using GuildStash.Browser.Tests.Support;
using GuildStash.Domain.People;
using GuildStash.TestSupport;
using Microsoft.Playwright;
using Npgsql;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Journeys;

/// <summary>What is typed outlives a reload, a lost connection and the end of the server.</summary>
public sealed class DraftJourney(PostgresFixture postgres, BrowserFixture browser)
{
    private static ILocator Gross(IPage page) => page.GetByLabel("Gross, grams").First;

    private static ILocator Wishes(IPage page) => page.GetByLabel("The donor's wishes");

    private static ILocator Banner(IPage page) => page.GetByText("Continue your gift from");

    [Fact]
    public async Task Reload_WhenAFormIsHalfTyped_BringsItBackUntilItIsLogged()
    {
        await using Room room = await Room.OpenAsync(postgres, browser, who: Role.Volunteer);
        IPage page = room.Volunteer.Page;
        await OpenAsync(room.Volunteer);
        await Gross(page).FillAsync("560,5");
        await page.GetByRole(AriaRole.Button, new() { Name = "Another bag" }).ClickAsync();
        // The page puts the cursor there; before it did, it would take the next field's keystrokes.
        await Expect(page.GetByLabel("Gross, grams").Nth(1)).ToBeFocusedAsync();
        await page.GetByLabel("Gross, grams").Nth(1).FillAsync("80");
        await Wishes(page).PressSequentiallyAsync("For children");
        await KeptAsync(room.Site, "For children");

        await page.ReloadAsync();
        await Expect(Banner(page)).ToBeVisibleAsync();
        await Expect(Gross(page)).ToHaveValueAsync("560.5");
        await Expect(page.GetByLabel("Gross, grams").Nth(1)).ToHaveValueAsync("80");
        await Expect(Wishes(page)).ToHaveValueAsync("For children");
        await page.GetByRole(AriaRole.Button, new() { Name = "Keep it and go on" }).ClickAsync();
        await Expect(Banner(page)).ToHaveCountAsync(0);
        await page.GetByRole(AriaRole.Button, new() { Name = "Log this gift" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Heading, new() { Name = "The gift is logged" })).ToBeVisibleAsync();
        Assert.Equal(0, await CountAsync(room.Site));

        await OpenAsync(room.Volunteer);
        await Expect(Banner(page)).ToHaveCountAsync(0);
        await Expect(Gross(page)).ToHaveValueAsync("");
        await Wishes(page).PressSequentiallyAsync("A mistake");
        await KeptAsync(room.Site, "A mistake");
        await page.ReloadAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Throw it away and start afresh" }).ClickAsync();
        await Expect(Wishes(page)).ToHaveValueAsync("");
        Assert.Equal(0, await CountAsync(room.Site));
        Assert.Empty(room.Volunteer.Faults);
    }

    [Fact]
    public async Task Offline_WhenTypedWithoutTheServer_IsThereAfterReloading()
    {
        await using Room room = await Room.OpenAsync(postgres, browser, who: Role.Volunteer);
        IPage page = room.Volunteer.Page;
        await OpenAsync(room.Volunteer);
        await Gross(page).FillAsync("560");
        await Wishes(page).PressSequentiallyAsync("For ");
        await KeptAsync(room.Site, "For ");
        await room.Volunteer.BeOfflineAsync(true);
        await Expect(page.GetByText("This device has no network now.")).ToBeVisibleAsync();
        await room.Volunteer.LoseTheServerAsync();
        await Wishes(page).PressSequentiallyAsync("children only");
        await room.Volunteer.BeOfflineAsync(false);

        await page.ReloadAsync();
        await Expect(Banner(page)).ToBeVisibleAsync();
        await Expect(Wishes(page)).ToHaveValueAsync("For children only");
        await Expect(Gross(page)).ToHaveValueAsync("560");
        await KeptAsync(room.Site, "For children only");
        await EmptyStoreAsync(page);
    }

    [Fact]
    public async Task Reload_WhenAFieldShowsWhatTheServerNeverHeard_IsLoggedWithIt()
    {
        await using Room room = await Room.OpenAsync(postgres, browser, who: Role.Volunteer);
        IPage page = room.Volunteer.Page;
        await OpenAsync(room.Volunteer);
        await Gross(page).FillAsync("560");
        await KeptAsync(room.Site, "560");
        await room.Volunteer.LoseTheServerAsync();
        await page.GetByLabel("Notes").PressSequentiallyAsync("Came by train");
        await room.Volunteer.BeOfflineAsync(false);

        // Put there by something else than typing, just before the form's keystrokes are told to the new circuit.
        await page.AddInitScriptAsync(
            """
            document.addEventListener('DOMContentLoaded', () => {
              const { begin } = guildStashDrafts;
              guildStashDrafts.begin = (...which) => {
                document.getElementById('notes').value = 'Came by train';
                return begin(...which);
              };
            });
            """);
        await page.ReloadAsync();
        await Expect(Banner(page)).ToBeVisibleAsync();
        await Expect(page.GetByLabel("Notes")).ToHaveValueAsync("Came by train");
        await page.GetByRole(AriaRole.Button, new() { Name = "Log this gift" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Heading, new() { Name = "The gift is logged" })).ToBeVisibleAsync();
        Assert.Equal("Came by train", await AskAsync(room.Site, "select notes from donation"));
    }

    [Fact]
    public async Task Kill_WhenTheServerEndsMidForm_BringsBackWhatWasTypedBeforeAndAfter()
    {
        await using Room room = await Room.OpenProgramAsync(postgres, browser, Role.Volunteer);
        IPage page = room.Volunteer.Page;
        await OpenAsync(room.Volunteer);
        await Gross(page).FillAsync("560");
        await Wishes(page).PressSequentiallyAsync("For ");
        await KeptAsync(room.Site, "For ");
        await room.Program.KillAsync();
        await Wishes(page).PressSequentiallyAsync("children only");
        await page.GetByLabel("Notes").PressSequentiallyAsync("Came by train");
        await room.Program.RestartAsync();

        await OpenAsync(room.Volunteer);
        await Expect(Banner(page)).ToBeVisibleAsync();
        await Expect(Wishes(page)).ToHaveValueAsync("For children only");
        await Expect(page.GetByLabel("Notes")).ToHaveValueAsync("Came by train");
        await Expect(Gross(page)).ToHaveValueAsync("560");
        await page.GetByRole(AriaRole.Button, new() { Name = "Log this gift" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Heading, new() { Name = "The gift is logged" })).ToBeVisibleAsync();
        Assert.Equal("For children only|Came by train", await AskAsync(room.Site, "select wishes || '|' || notes from donation"));
        Assert.Equal(0, await CountAsync(room.Site));
    }

    [Fact]
    public async Task Sort_WhenTypingIsFastAndTheNetworkSlow_KeepsEveryDigit()
    {
        await using Room room = await Room.OpenAsync(postgres, browser, who: Role.Volunteer);
        IPage page = room.Volunteer.Page;
        await OpenAsync(room.Volunteer);
        await Gross(page).FillAsync("60000");
        await page.GetByRole(AriaRole.Button, new() { Name = "Log this gift" }).ClickAsync();
        await page.GetByRole(AriaRole.Link, new() { Name = "Sort bag 1" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToContainTextAsync("Sorting");
        await room.Volunteer.BeSlowAsync();
        await room.Volunteer.GoAsync(page.Url);
        ILocator grams = page.GetByLabel("Grams", new() { Exact = true });
        await page.Locator("[id='wraps.count']").PressSequentiallyAsync("13");
        await grams.PressSequentiallyAsync("1234.567");
        await KeptAsync(room.Site, "1234.567");
        await Expect(grams).ToHaveValueAsync("1234.567");

        await page.ReloadAsync();
        await Expect(page.GetByText("Continue your ball from")).ToBeVisibleAsync();
        await Expect(grams).ToHaveValueAsync("1234.567");
        await Expect(page.Locator("[id='wraps.count']")).ToHaveValueAsync("13");
        await page.GetByRole(AriaRole.Button, new() { Name = "Save this ball" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Link, new() { Name = "Label of " })).ToHaveCountAsync(1);
        Assert.Equal("1234567", await AskAsync(room.Site, "select on_hand_mg::text from lot"));
        Assert.Equal(0, await CountAsync(room.Site));
        Assert.Empty(room.Volunteer.Faults);
    }

    [Fact]
    public async Task Piece_WhenTypedWithoutTheServer_IsThereAfterReloading()
    {
        await using Room room = await Room.OpenAsync(postgres, browser, who: Role.Volunteer);
        IPage page = room.Volunteer.Page;
        await room.Volunteer.GoAsync("/pieces/new");
        await page.GetByLabel("Name", new() { Exact = true }).FillAsync("Striped hat");
        await page.GetByRole(AriaRole.Button, new() { Name = "Add a part" }).ClickAsync();
        await page.Locator("#part-1-safe").FillAsync("40");
        await page.Locator("#part-1-class-dk").CheckAsync();
        await KeptAsync(room.Site, "Striped hat");
        await KeptAsync(room.Site, "Part 2");
        await room.Volunteer.LoseTheServerAsync();
        await page.Locator("#part-0-safe").PressSequentiallyAsync("120");
        await page.Locator("#part-0-class-worsted").CheckAsync();
        await page.GetByLabel("Notes").PressSequentiallyAsync("Fold the brim");
        await room.Volunteer.BeOfflineAsync(false);

        await page.ReloadAsync();
        await Expect(page.GetByText("Continue your piece from")).ToBeVisibleAsync();
        await Expect(page.GetByLabel("Name", new() { Exact = true })).ToHaveValueAsync("Striped hat");
        await Expect(page.Locator("#part-0-safe")).ToHaveValueAsync("120");
        await Expect(page.Locator("#part-0-class-worsted")).ToBeCheckedAsync();
        await Expect(page.Locator("#part-1-class-dk")).ToBeCheckedAsync();
        await Expect(page.GetByLabel("Notes")).ToHaveValueAsync("Fold the brim");
        await KeptAsync(room.Site, "Fold the brim");
        await EmptyStoreAsync(page);
        await page.GetByRole(AriaRole.Button, new() { Name = "Write it into the book" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToContainTextAsync("Striped hat");
        // The guild reads yards: 120 and 40 of them.
        Assert.Equal("109.728|36.576", await AskAsync(room.Site, "select string_agg(metres_safe::text, '|' order by position) from piece_part"));
        Assert.Equal(0, await CountAsync(room.Site));
    }

    private static async Task OpenAsync(Visitor visitor)
    {
        await visitor.GoAsync("/intake/new");
        await Expect(Gross(visitor.Page)).ToBeVisibleAsync();
    }

    private static Task EmptyStoreAsync(IPage page) =>
        page.WaitForFunctionAsync("() => !Object.keys(localStorage).some(key => key.startsWith('guildstash.draft.'))");

    private static async Task<long> CountAsync(Site site) => long.Parse(await AskAsync(site, "select count(*)::text from draft"), System.Globalization.CultureInfo.InvariantCulture);

    /// <summary>Waits until the database has a draft with these words.</summary>
    private static async Task KeptAsync(Site site, string words)
    {
        using PeriodicTimer again = new(TimeSpan.FromMilliseconds(50));
        using CancellationTokenSource enough = CancellationTokenSource.CreateLinkedTokenSource(Site.Cancellation);
        enough.CancelAfter(TimeSpan.FromSeconds(20));
        while (!(await AskAsync(site, "select coalesce(string_agg(state::text, ' '), '') from draft")).Contains(words, StringComparison.Ordinal))
        {
            await again.WaitForNextTickAsync(enough.Token);
        }
    }

    private static async Task<string> AskAsync(Site site, string question)
    {
        await using NpgsqlConnection connection = new(site.OwnerConnectionString);
        await connection.OpenAsync(Site.Cancellation);
        await using NpgsqlCommand command = new(question, connection);
        return (string)(await command.ExecuteScalarAsync(Site.Cancellation))!;
    }
}
