using System.Globalization;
using Bunit;
using GuildStash.Data.Guild;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Web.Features.Settings;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Xunit;

namespace GuildStash.Web.Tests.Features.Settings;

/// <summary>The page of the guild's settings, with what is offered there to choose from.</summary>
public sealed class SettingsPageTests(OneDesk desk) : DeskPages, IClassFixture<OneDesk>
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Save_WhenFieldsAreWrong_SaysSoBesideThemAndKeepsTheSettings()
    {
        GuildSettings before = await GuildAsync();
        IRenderedComponent<SettingsPage> page = Enter();

        // What the box itself knows to be wrong is never sent.
        await page.OnAsync("#loanDays", e => e.Input("731"));
        await page.OnAsync("#name", e => e.Change(""));
        await page.OnAsync("form", e => e.Submit());
        Says(page, "Nothing was saved: one of the numbers can't be taken.");
        Assert.Empty(page.FindAll("#name-error"));

        await page.OnAsync("#loanDays", e => e.Input("30"));
        await page.OnAsync("#timeZone", e => e.Change("Mars/Olympus"));
        await page.OnAsync("#holdDays", e => e.Input("12.5"));
        await page.OnAsync("form", e => e.Submit());
        Says(page, "#name-error", "This is needed. Fill it in.");
        Says(page, "#timeZone-error", "\"Mars/Olympus\" is no time zone. Use a name such as Europe/London.");
        Says(page, "#holdDays-error", "12.5 can't be taken here; allowed are whole numbers from 1 to 365.");
        Assert.DoesNotContain("Saved.", page.Markup, StringComparison.Ordinal);
        Assert.Equal((before.Version, before.Name, before.LoanDays), await GuildAsync() is var after ? (after.Version, after.Name, after.LoanDays) : default);
    }

    [Theory]
    [InlineData("Paris", "Europe/Paris")]
    [InlineData("new york", "America/New_York")]
    [InlineData("NEW_YORK", "America/New_York")]
    [InlineData("europe/vienna", "Europe/Vienna")]
    [InlineData("UTC", "UTC")]
    public async Task Save_WhenACityAloneIsTyped_TheOneZoneThatHasItIsKept(string typed, string zone)
    {
        IRenderedComponent<SettingsPage> page = Enter();
        await page.OnAsync("#timeZone", e => e.Change(typed));
        await page.OnAsync("form", e => e.Submit());

        Says(page, "Saved. Zone and days hold from now on");
        Assert.Equal(zone, (await GuildAsync()).TimeZone);
    }

    [Fact]
    public async Task Save_WhenSeveralZonesAreNear_ListsThem()
    {
        IRenderedComponent<SettingsPage> page = Enter();
        await page.OnAsync("#timeZone", e => e.Change("argentina"));
        await page.OnAsync("form", e => e.Submit());

        page.WaitForAssertion(
            () => Assert.Matches("^\"argentina\" is no whole name of a time zone. Type one of these: America/Argentina/.*, America/Argentina/.*$", page.Find("#timeZone-error").TextContent.Trim()), RoomPages.Patience);
    }

    [Fact]
    public void Show_Links_AreCalledAsTheirPagesAre()
    {
        IRenderedComponent<SettingsPage> page = Enter();
        page.WaitForElement("form", RoomPages.Patience);

        Assert.Equal("Rules of the room", page.Find("a[href='/settings/room-rules']").TextContent);
        Assert.Equal("Scales", page.Find("a[href='/scales']").TextContent);
    }

    [Fact]
    public async Task Save_WhenRight_HoldsFromNowOnAndAnotherPagesOldFormIsRefused()
    {
        IRenderedComponent<SettingsPage> page = Enter();
        IRenderedComponent<SettingsPage> old = Open<SettingsPage>("/settings");
        old.WaitForElement("form", RoomPages.Patience);

        await page.OnAsync("#timeZone", e => e.Change("Europe/Vienna"));
        await page.OnAsync("#culture", e => e.Change("de-AT"));
        await page.InvokeAsync(() => page.FindAll("input[name=lengthUnit]")[0].Change(true));
        await page.InvokeAsync(() => page.FindAll("input[name=quarantinePolicy]")[2].Change(true));
        await page.OnAsync("#weighingToleranceGrams", e => e.Input("4"));
        await page.OnAsync("input[name=wantedIsPublic]", e => e.Change(true));
        await page.OnAsync("form", e => e.Submit());
        Says(page, "Saved. Zone and days hold from now on");
        Says(page, "by Cora Coordinator");
        Assert.Equal("Europe/Vienna", Display.Zone.Id);

        await old.OnAsync("#address", e => e.Change("Behind the quay"));
        await old.OnAsync("form", e => e.Submit());
        Says(old, "Somebody else changed the settings meanwhile.");
        GuildSettings kept = await GuildAsync();
        Assert.Equal(
            ("Europe/Vienna", "de-AT", LengthUnit.Metres, QuarantinePolicy.EveryBag, 4, true, ""),
            (kept.TimeZone, kept.Culture, kept.LengthUnit, kept.QuarantinePolicy, kept.WeighingToleranceGrams, kept.WantedIsPublic, kept.Address));

        IRenderedComponent<SettingsPage> anew = Open<SettingsPage>("/settings");
        anew.WaitForElement("form", RoomPages.Patience);
        Assert.Equal("de-AT", anew.Find("#culture option[selected]").GetAttribute("value"));
        Assert.Equal([true, false], anew.FindAll("input[name=lengthUnit]").Select(r => r.HasAttribute("checked")));
        Assert.Equal([false, false, true], anew.FindAll("input[name=quarantinePolicy]").Select(r => r.HasAttribute("checked")));
    }

    [Fact]
    public void Open_WhenTheRightWasTakenMeanwhile_SaysSoAndShowsNoForm()
    {
        Ui.Services.AddScoped<SaveSettings>();
        Enter(desk.Room, desk.Room.Volunteer);

        IRenderedComponent<SettingsPage> page = Open<SettingsPage>("/settings");

        page.WaitForElement("[role=alert]", RoomPages.Patience);
        Assert.Empty(page.FindAll("form, .skeleton"));
    }

    [Fact]
    public void Offer_WhenOneIsChosen_MarksItAloneAmongCulturesAndNamesZonesByTheirCities()
    {
        string? Chosen(string? culture) => Ui.Render<CultureOptions>(p => p.Add(c => c.Chosen, culture)).FindAll("option[selected]").Select(o => o.TextContent).SingleOrDefault();

        Assert.Equal(new CultureInfo("fr-CH").NativeName, Chosen("fr-CH"));
        Assert.Null(Chosen(null));
        string?[] zones = [.. Ui.Render<ZoneOptions>().FindAll("#zones option").Select(o => o.GetAttribute("value"))];
        Assert.Contains("Europe/London", zones);
        Assert.All(zones, zone => Assert.Contains('/', zone!));
    }

    private IRenderedComponent<SettingsPage> Enter()
    {
        Ui.Services.AddScoped<SaveSettings>();
        Enter(desk.Room, desk.Room.Coordinator);
        IRenderedComponent<SettingsPage> page = Open<SettingsPage>("/settings");
        page.WaitForElement("form", RoomPages.Patience);
        return page;
    }

    private Task<GuildSettings> GuildAsync() => desk.Room.AskAsync(db => db.Guilds.AsNoTracking().SingleAsync(Cancellation));
}
