using GuildStash.Browser.Tests.Access;
using GuildStash.Browser.Tests.Support;
using GuildStash.Domain.People;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Journeys;

/// <summary>A person is quicker than the network: what is done before a page listens is heard once it does.</summary>
[Collection(DemoCollection.Name)]
public sealed class EarlyJourney(DemoSite demo)
{
    [Fact]
    public async Task Type_BeforeThePageListens_IsHeardAndKeepsTheCursor()
    {
        await using Visitor member = await demo.EnterAsync(Role.Member);
        IPage page = await OpenUnheardAsync(member, "/measure");
        ILocator tick = page.Locator("[id='countIsResultant']");
        await tick.EvaluateAsync("tick => { for (let folded = tick.closest('details'); folded; folded = folded.parentElement.closest('details')) folded.open = true; }");
        await tick.CheckAsync();
        ILocator words = page.GetByLabel("What the band says");
        await words.PressSequentiallyAsync("420 m/100 g");
        await LetGoAsync(member);

        await Expect(page.Locator("[id='band.metres']")).ToHaveValueAsync("420");
        await Expect(tick).ToBeCheckedAsync();
        await Expect(words).ToBeFocusedAsync();
        await page.Keyboard.TypeAsync(" 80% WO");
        await Expect(words).ToHaveValueAsync("420 m/100 g 80% WO");
        Assert.Empty(member.Faults);
    }

    [Fact]
    public async Task Type_WhileThePageIsDrawnAnew_GoesOnFromWhatWasTyped()
    {
        await using Visitor volunteer = await demo.EnterAsync(Role.Volunteer);
        IPage page = await OpenUnheardAsync(volunteer, "/intake/new");
        ILocator tare = page.GetByLabel("Tare, grams");
        await page.EvaluateAsync(
            """
            () => {
              const { open } = guildStashDrafts;
              guildStashDrafts.open = async (...which) => {
                await new Promise(resolve => window.goOn = resolve);
                return open(...which);
              };
            }
            """);
        await page.GetByLabel("Gross, grams").PressSequentiallyAsync("560.5");
        await tare.PressSequentiallyAsync("40");
        await LetGoAsync(volunteer);
        await page.WaitForFunctionAsync("() => window.goOn");
        await Expect(tare).ToBeFocusedAsync();
        await page.Keyboard.TypeAsync(".");

        // As while the page fetches what it shows: its form is there already, its draft's keeper is not.
        await page.EvaluateAsync("() => { window.mark = document.querySelector('[data-draft-of]'); delete mark.dataset.draftOf; }");
        await page.Keyboard.TypeAsync("5");
        await page.EvaluateAsync("() => { mark.dataset.draftOf = 'gift'; window.goOn(); }");

        await Expect(page.Locator("[data-keeping=true]")).ToHaveCountAsync(1);
        await Expect(tare).ToHaveValueAsync("40.5");
        await page.GetByRole(AriaRole.Button, new() { Name = "Log this gift" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Heading, new() { Name = "The gift is logged" })).ToBeVisibleAsync();
        await Expect(page.GetByText("520 g")).ToBeVisibleAsync();
        Assert.Empty(volunteer.Faults);
    }

    [Fact]
    public async Task Type_WhereAnOlderDraftComesBack_GoesOnInTheFieldThatReplacesIt()
    {
        await using Visitor volunteer = await demo.EnterAsync(Role.Volunteer);
        IPage page = await OpenUnheardAsync(volunteer, "/intake/new");
        await LetGoAsync(volunteer);
        await Expect(page.Locator("[data-keeping=true]")).ToHaveCountAsync(1);
        await page.GetByLabel("Gross, grams").PressSequentiallyAsync("560");
        await page.GetByLabel("Notes").PressSequentiallyAsync("Came by train");
        await page.WaitForFunctionAsync("() => !Object.keys(localStorage).some(key => key.startsWith('guildstash.draft.'))");

        await page.ReloadAsync();
        ILocator tare = page.GetByLabel("Tare, grams");
        await tare.PressSequentiallyAsync("40");
        await LetGoAsync(volunteer);
        await Expect(page.GetByText("Continue your gift from")).ToBeVisibleAsync();
        await Expect(page.Locator("[data-keeping=true]")).ToHaveCountAsync(1);

        await Expect(tare).ToBeFocusedAsync();
        await page.Keyboard.TypeAsync(".5");
        await Expect(tare).ToHaveValueAsync("40.5");
        await Expect(page.GetByLabel("Gross, grams")).ToHaveValueAsync("560");
        await page.GetByRole(AriaRole.Button, new() { Name = "Log this gift" }).ClickAsync();
        await Expect(page.GetByText("519.5 g")).ToBeVisibleAsync();
        Assert.Empty(volunteer.Faults);
    }

    [Fact]
    public async Task Press_BeforeThePageListens_IsDoneOnce()
    {
        await using Visitor volunteer = await demo.EnterAsync(Role.Volunteer);
        IPage page = await OpenUnheardAsync(volunteer, "/pieces/new");
        await page.GetByRole(AriaRole.Button, new() { Name = "Add a part" }).ClickAsync();
        await LetGoAsync(volunteer);

        await Expect(page.Locator("#part-1-safe")).ToBeVisibleAsync();
        await Expect(page.Locator("#part-2-safe")).ToHaveCountAsync(0);
        Assert.Empty(volunteer.Faults);
    }

    [Fact]
    public async Task Submit_BeforeThePageListens_LeavesTheFormToBeSentByWhoHasSeenItsDraft()
    {
        await using Visitor volunteer = await demo.EnterAsync(Role.Volunteer);
        IPage page = await OpenUnheardAsync(volunteer, "/intake/new");
        await page.GetByLabel("Notes").PressSequentiallyAsync("Came by train");
        ILocator submit = page.GetByRole(AriaRole.Button, new() { Name = "Log this gift" });
        await submit.ClickAsync();
        await LetGoAsync(volunteer);

        await Expect(page.Locator("[data-keeping=true]")).ToHaveCountAsync(1);
        await Expect(submit).ToBeFocusedAsync();
        await Expect(page.GetByLabel("Notes")).ToHaveValueAsync("Came by train");
        Assert.EndsWith("/intake/new", page.Url, StringComparison.Ordinal);
        Assert.Empty(volunteer.Faults);
    }

    [Fact]
    public async Task Link_WhenOneTypesAsSoonAsThePageIsThere_TakesEveryLetter()
    {
        await using Visitor member = await demo.EnterAsync(Role.Member, phone: true);
        IPage page = member.Page;
        await member.BeSlowAsync();
        await member.GoAsync("/more");
        await page.GetByRole(AriaRole.Link, new() { Name = "Measure", Exact = true }).First.ClickAsync();
        ILocator words = page.GetByLabel("What the band says");
        await words.PressSequentiallyAsync("80% WO 420 m/100 g");

        await Expect(page.Locator("[id='band.grams']")).ToHaveValueAsync("100");
        await Expect(words).ToHaveValueAsync("80% WO 420 m/100 g");
        await Expect(words).ToBeFocusedAsync();

        // Who has gone nowhere yet begins at the heading.
        await page.GoBackAsync();
        await Expect(page.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToBeFocusedAsync();
        Assert.Empty(member.Faults);
    }

    /// <summary>Opens a page whose circuit hears nothing until it is let go.</summary>
    private static async Task<IPage> OpenUnheardAsync(Visitor visitor, string path)
    {
        await visitor.Page.AddInitScriptAsync(
            """
            const send = WebSocket.prototype.send;
            let waiting = [];
            WebSocket.prototype.send = function (data) {
              if (waiting) waiting.push(() => send.call(this, data));
              else send.call(this, data);
            };
            window.letGo = () => {
              waiting?.forEach(go => go());
              waiting = null;
            };
            """);
        await visitor.Page.GotoAsync(path);
        return visitor.Page;
    }

    private static async Task LetGoAsync(Visitor visitor)
    {
        Assert.Equal("soon", await visitor.Page.EvaluateAsync<string>("() => document.documentElement.dataset.interactive"));
        await visitor.Page.EvaluateAsync("() => window.letGo()");
        await visitor.InteractiveAsync();
    }
}
