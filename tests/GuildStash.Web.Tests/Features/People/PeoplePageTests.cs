using Bunit;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.People;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Xunit;

namespace GuildStash.Web.Tests.Features.People;

/// <summary>The page of people and invitations, as coordinators read and administrators use it.</summary>
public sealed class PeoplePageTests(OneDesk desk) : AccountPages, IClassFixture<OneDesk>
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Search_WhenACoordinatorFinds_GoesIntoTheAddressAndChangesNobody()
    {
        EnterAs(Role.Coordinator);
        IRenderedComponent<PeoplePage> page = Open<PeoplePage>("/people?page=2");
        Says(page, "5 people have an account.");

        await page.OnAsync("input[type=search]", e => e.Change(" vera "));
        await page.OnAsync("form[role=search]", e => e.Submit());
        page.WaitForAssertion(() => Assert.EndsWith("/people?search=vera", Navigation.Uri, StringComparison.Ordinal), RoomPages.Patience);
        Says(page, "One person found.");
        Assert.Equal(["Vera Volunteer"], Names(page));
        Assert.Empty(page.FindAll("button[aria-expanded].link"));

        await page.OnAsync("input[type=search]", e => e.Change("nobody of this name"));
        await page.OnAsync("form[role=search]", e => e.Submit());
        Says(page, "No name and no address contains \"nobody of this name\".");
        await page.InvokeAsync(() => Navigation.NavigateTo(page.Find("form[role=search] a").GetAttribute("href")!));
        Says(page, "5 people have an account.");
        Assert.Equal("", page.Find("input[type=search]").GetAttribute("value") ?? "");
    }

    [Fact]
    public async Task Change_WhenTheRoleIsAnother_IsSavedButNotWhereNoAdministratorWouldBeLeft()
    {
        EnterAs(Role.Administrator);
        IRenderedComponent<PeoplePage> page = Open<PeoplePage>("/people?search=otto");

        await page.OnAsync("button[aria-label='Change Otto Other']", e => e.Click());
        page.WaitForAssertion(() => Assert.Contains(page.FindAll("button[disabled]"), b => b.TextContent == "Save the role"), RoomPages.Patience);
        await page.OnAsync(".person-edit select", e => e.Change(nameof(Role.Coordinator)));
        await PressAsync(page, "Save the role");
        Says(page, "p[role=status]", "Otto Other is now: Coordinator.");
        Says(page, "caption ~ tbody td.end", "Coordinator active");
        Assert.Empty(page.FindAll(".person-edit"));

        await page.InvokeAsync(() => Navigation.NavigateTo("/people?search=ada"));
        await page.OnAsync("button[aria-label='Change Ada Admin']", e => e.Click());
        await page.OnAsync(".person-edit select", e => e.Change(nameof(Role.Member)));
        await PressAsync(page, "Save the role");
        Says(page, "[role=alert]", "This is the guild's last active administrator. Make another person administrator first.");
        Assert.Empty(page.FindAll("p[role=status]"));
        Assert.Equal(Role.Coordinator, (await PersonAsync(desk.Room.OtherMember)).Role);
        Assert.Equal(Role.Administrator, (await PersonAsync(desk.Room.Guild.Administrator)).Role);
    }

    [Fact]
    public async Task SwitchOff_WhenYarnIsOpen_ListsItAndCanBeTakenBack()
    {
        LotView lot = await desk.Room.LotAsync(150);
        PlacedHold hold = await desk.Room.HoldAsync(lot, 60);
        await desk.Room.TakenHomeAsync(lot, 20);
        EnterAs(Role.Administrator);
        IRenderedComponent<PeoplePage> page = Open<PeoplePage>("/people?search=mia");

        await page.OnAsync("button[aria-label='Change Mia Member']", e => e.Click());
        await PressAsync(page, "Switch the account off");
        Says(page, "The account of Mia Member is switched off.");
        Assert.Contains($"{lot.Display} · 60 g · until {Spaces.Plain(Display.Date(hold.ExpiresAt))}", Words(page.FindAll("li")), StringComparison.Ordinal);
        Says(page, "20 g are still at this person's home.");
        Says(page, "table .status", "switched off");
        Assert.NotNull((await PersonAsync(desk.Room.Member)).DisabledAt);

        await PressAsync(page, "Switch it on again");
        Says(page, "p[role=status]", "The account of Mia Member is switched on again.");
        Assert.DoesNotContain("still at this person's home", page.Markup, StringComparison.Ordinal);
        Assert.Null((await PersonAsync(desk.Room.Member)).DisabledAt);
    }

    [Theory]
    [InlineData(52, 0, "And 50 more.", "still at this person's home")]
    [InlineData(0, 20_000, "20 g are still at this person's home.", "stays promised")]
    public void LeftOpen_WhenOnlyPartIsOpen_SpeaksOfThatAlone(int holds, long atHomeMg, string said, string unsaid)
    {
        OpenHold[] listed = [.. Enumerable.Range(0, Math.Min(holds, 2)).Select(i => new OpenHold($"H-{i}", $"LOT-{i}", 60_000, DateTimeOffset.UnixEpoch))];

        IRenderedComponent<LeftOpen> left = Ui.Render<LeftOpen>(p => p.Add(c => c.Left, new DisabledPerson(Guid.Empty, "Mia Member", listed, holds, atHomeMg)));

        Assert.Contains(said, Words(left.Nodes), StringComparison.Ordinal);
        Assert.DoesNotContain(unsaid, Words(left.Nodes), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Invite_WhenACoordinatorMakesALink_ShowsItOnceAndListsItUntilItIsWithdrawn()
    {
        await desk.Room.Guild.DoAsync<InvitePerson, NewInvitation>(u => u.RunAsync(
            desk.Room.Guild.Administrator, new InvitationInput(Role.Coordinator, "Cleo"), Cancellation));
        EnterAs(Role.Coordinator);
        IRenderedComponent<PeoplePage> page = Open<PeoplePage>("/people");
        await PressAsync(page, "Invite somebody");
        page.WaitForElement("form#invitation", RoomPages.Patience);
        Assert.Equal(["Member", "Volunteer"], page.FindAll("form#invitation option").Select(o => o.TextContent));

        await page.OnAsync("#days", e => e.Input("1.5"));
        await page.OnAsync("form#invitation", e => e.Submit());
        Says(page, "#days-error", "1.5 can't be taken here; allowed are whole numbers from 1 to 60.");
        await page.OnAsync("#days", e => e.Input("3"));
        await page.OnAsync("form#invitation select", e => e.Change(nameof(Role.Volunteer)));
        await page.OnAsync("#note", e => e.Change("Nora next door"));
        await page.OnAsync("form#invitation", e => e.Submit());

        page.WaitForElement("#invite-link", RoomPages.Patience);
        string link = page.Find("#invite-link").GetAttribute("value")!;
        Assert.StartsWith("https://guild.example.org/invite/", link, StringComparison.Ordinal);
        Invitation kept = await desk.Room.AskAsync(db => db.Invitations.SingleAsync(i => i.Note == "Nora next door", Cancellation));
        Assert.Equal((Role.Volunteer, TimeSpan.FromDays(3)), (kept.Role, kept.ExpiresAt - kept.CreatedAt));
        page.WaitForElement("button[aria-label='Withdraw the invitation for Nora next door']", RoomPages.Patience);
        Assert.Empty(page.FindAll("button[aria-label='Withdraw the invitation for Cleo']"));

        await PressAsync(page, "Done");
        await page.OnAsync("button[aria-label='Withdraw the invitation for Nora next door']", e => e.Click());
        Says(page, "p.good", "The invitation is withdrawn; its link leads nowhere now.");
        Assert.DoesNotContain("Nora next door", page.Markup, StringComparison.Ordinal);
        Assert.DoesNotContain(link, page.Markup, StringComparison.Ordinal);
        Assert.NotNull((await desk.Room.AskAsync(db => db.Invitations.SingleAsync(i => i.Id == kept.Id, Cancellation))).WithdrawnAt);
    }

    [Fact]
    public async Task Invite_WhenTheAddressOpensHereOnlyAndNothingCopies_WarnsAndMarksTheLink()
    {
        EnterAs(Role.Administrator, publicUrl: null);
        Ui.JSInterop.Setup<bool>("guildStash.copy", _ => true).SetResult(false);
        int invited = 0;
        IRenderedComponent<InviteForm> form = Open<InviteForm>("/people", p => p.Add(c => c.MayInviteAll, true).Add(c => c.OnInvited, () => invited++));
        Assert.Equal(4, form.FindAll("option").Count);

        await form.OnAsync("form", e => e.Submit());
        Says(form, "This address opens on this computer only.");
        await PressAsync(form, "Copy the link");

        Says(form, "p.field-error", "The browser does not let this page copy. The link is marked: copy it with the keyboard.");
        Ui.JSInterop.VerifyInvoke("guildStash.focusId", 1);
        Assert.StartsWith("http://localhost/invite/", form.Find("#invite-link").GetAttribute("value"), StringComparison.Ordinal);
        Assert.Equal(1, invited);
    }

    [Fact]
    public async Task NewPassword_WhenAnAdministratorMakesALink_ShowsItInThatPersonsPanelUntilItIsLeft()
    {
        EnterAs(Role.Administrator);
        Ui.JSInterop.Setup<bool>("guildStash.copy", _ => true).SetResult(true);
        IRenderedComponent<PeoplePage> page = Open<PeoplePage>("/people?search=otto");
        await page.OnAsync("button[aria-label='Change Otto Other']", e => e.Click());

        await PressAsync(page, "Make a link for a new password");
        page.WaitForElement("#new-password-link", RoomPages.Patience);
        string link = page.Find("#new-password-link").GetAttribute("value")!;
        Says(page, "It holds until");
        await PressAsync(page, "Copy the link");

        Says(page, "p.good", "Copied. Paste it into a message.");
        Assert.Equal("other@example.org", await desk.Room.Guild.DoAsync<ChooseNewPassword, string>(
            u => u.LookAsync(link["https://guild.example.org/account/new-password/".Length..], Cancellation)));
        await PressAsync(page, "Leave as it is");
        await page.OnAsync("button[aria-label='Change Otto Other']", e => e.Click());
        page.WaitForElement(".person-edit", RoomPages.Patience);
        Assert.Empty(page.FindAll("#new-password-link"));
    }

    [Fact]
    public async Task NewPassword_WhenThePersonIsSwitchedOffMeanwhile_SaysSoAndShowsNoLink()
    {
        Guid gone = await desk.Room.Guild.AddPersonAsync("Greta Gone", "greta@example.org", Role.Member);
        EnterAs(Role.Administrator);
        IRenderedComponent<PeoplePage> page = Open<PeoplePage>("/people?search=greta");
        await page.OnAsync("button[aria-label='Change Greta Gone']", e => e.Click());
        await desk.Room.Guild.DoAsync<DisablePerson, DisabledPerson>(u => u.RunAsync(desk.Room.Guild.Administrator, gone, Cancellation));

        await PressAsync(page, "Make a link for a new password");

        Says(page, "[role=alert]", "This account is switched off. Switch it on first, then make the link.");
        Assert.Empty(page.FindAll("#new-password-link"));
        await desk.Room.OwnerSqlAsync($"delete from person where id = {gone}");
    }

    [Fact]
    public async Task Edit_WhenTheInvitationIsOpenToo_EachRoleHasItsOwnLabel()
    {
        EnterAs(Role.Administrator);
        IRenderedComponent<PeoplePage> page = Open<PeoplePage>("/people?search=otto");
        await PressAsync(page, "Invite somebody");
        await page.OnAsync("button[aria-label='Change Otto Other']", e => e.Click());
        page.WaitForElement(".person-edit label", RoomPages.Patience);

        string[] labelled = [.. page.FindAll("label").Where(l => l.TextContent == "Role").Select(l => l.GetAttribute("for")!)];

        Assert.Equal(2, labelled.Distinct().Count());
        Assert.All(labelled, id => Assert.Single(page.FindAll($"#{id}")));
    }

    private void EnterAs(Role role, string? publicUrl = "https://guild.example.org")
    {
        UseAccounts();
        Ui.Services.AddSingleton(new AppSettings("", publicUrl));
        Enter(desk.Room, desk.Room.Coordinator);
        if (role == Role.Administrator)
        {
            Person.SignIn(desk.Room.Guild.Administrator, "administrator");
            Person.SetPolicies(Policies.Volunteer, Policies.Coordinator, Policies.Administrator);
        }
    }

    private Task<Person> PersonAsync(Guid id) => desk.Room.AskAsync(db => db.People.AsNoTracking().SingleAsync(p => p.Id == id, Cancellation));

    private static IEnumerable<string> Names(IRenderedComponent<PeoplePage> page) =>
        page.Find("table").QuerySelectorAll("th[scope=row] > span").Select(name => name.TextContent);
}
