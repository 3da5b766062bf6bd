using System.Security.Claims;
using Bunit;
using GuildStash.Domain.People;
using GuildStash.Web.Components.Account;
using GuildStash.Web.Features.People;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Components.Account;

/// <summary>What sign-in, invitation and preferences show; how their posts are guarded and answered is tested with the server.</summary>
public sealed class AccountPagesTests(OneDesk desk) : AccountPages, IClassFixture<OneDesk>
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Theory]
    [InlineData("/projects?state=open", "/projects?state=open")]
    [InlineData("//elsewhere.example.org", "/")]
    [InlineData("", "/")]
    public void SignIn_WhenSignedInAlready_LeadsOnWithinThisSite(string wanted, string expected)
    {
        UseAccounts();
        Enter(desk.Room, desk.Room.Member);

        Get<SignInPage>($"/account/sign-in?returnUrl={Uri.EscapeDataString(wanted)}", new ClaimsPrincipal(new ClaimsIdentity("cookie")));

        Assert.Equal("http://localhost" + expected, Navigation.Uri);
    }

    [Fact]
    public void SignIn_WhenSignedOut_SaysSoAndAsksForTheAddress()
    {
        UseAccounts();
        Ui.UseRoom(desk.Room.Guild);

        IRenderedComponent<SignInPage> page = Get<SignInPage>("/account/sign-in?done=signed-out&returnUrl=%2Fprojects");

        Says(page, "p[role=status]", "You are signed out.");
        Assert.EndsWith("/account/sign-in?done=signed-out&returnUrl=%2Fprojects", Navigation.Uri, StringComparison.Ordinal);
        Assert.True(page.Find("#email").HasAttribute("autofocus"));
        Assert.Empty(page.FindAll("[role=alert]"));
    }

    [Fact]
    public async Task SignIn_WhenRefused_KeepsAddressAndChoiceAndSaysNoMoreThatOneIsSignedOut()
    {
        UseAccounts();
        Ui.UseRoom(desk.Room.Guild);
        IRenderedComponent<SignInPage> page = Post<SignInPage>(
            "/account/sign-in?done=signed-out", "sign-in", ("email", "member@example.org"), ("password", "not-this-one"), ("remember", "true"));

        await page.DoneAsync("form", e => e.SubmitAsync());

        Says(page, "This address and this password don't go together.");
        Assert.Equal(("member@example.org", true), (page.Find("#email").GetAttribute("value"), page.Find("input[name=remember]").HasAttribute("checked")));
        Assert.Empty(page.FindAll("p[role=status]"));
        Assert.EndsWith("/account/sign-in?done=signed-out", Navigation.Uri, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Invitation_WhenItHolds_OffersTheRoleWithoutTheInvitersNote()
    {
        NewInvitation made = await InviteAsync(Role.Volunteer);
        UseAccounts();
        Ui.UseRoom(desk.Room.Guild);

        IRenderedComponent<InvitePage> page = Invited(made.Path);

        Says(page, "h1", "You are invited");
        Says(page, "Harbour Yarn Guild invites you as Volunteer.");
        Assert.Equal(["name", "email", "password"], page.FindAll("form input:not([type=checkbox])").Select(i => i.Id!));
        Assert.DoesNotContain("the tall one", page.Markup, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("unknown", "This link leads to no invitation.")]
    [InlineData("withdrawn", "This invitation was withdrawn.")]
    [InlineData("expired", "The time of this invitation is over.")]
    public async Task Invitation_WhenItDoesNotHold_SaysWhyAndAsksForNothing(string state, string sentence)
    {
        NewInvitation made = await InviteAsync(Role.Member);
        if (state == "withdrawn")
        {
            await desk.Room.Guild.DoAsync<WithdrawInvitation, bool>(u => u.RunAsync(desk.Room.Coordinator, made.Id, Cancellation));
        }
        else if (state == "expired")
        {
            await desk.Room.OwnerSqlAsync($"update invitation set created_at = now() - interval '2 days', expires_at = now() - interval '1 day' where id = {made.Id}");
        }

        UseAccounts();
        Ui.UseRoom(desk.Room.Guild);
        IRenderedComponent<InvitePage> page = Invited(state == "unknown" ? made.Path[..^1] : made.Path);

        Says(page, "h1", "This invitation does not hold");
        Says(page, sentence);
        Assert.Empty(page.FindAll("form"));
        Assert.Equal("/account/sign-in", page.Find("a.btn").GetAttribute("href"));
    }

    [Fact]
    public void SignIn_WhenThePasswordIsForgotten_SaysWhoHelps()
    {
        UseAccounts();
        Ui.UseRoom(desk.Room.Guild);

        Says(Get<SignInPage>("/account/sign-in"), "Forgotten your password? An administrator of your guild can make you a link for a new one.");
    }

    [Fact]
    public async Task NewPassword_WhenTheLinkHolds_TellsWhoseAndAsksForThePasswordOnly()
    {
        NewPasswordLink made = await desk.Room.Guild.DoAsync<MakeNewPasswordLink, NewPasswordLink>(u => u.RunAsync(desk.Room.Guild.Administrator, desk.Room.OtherMember, Cancellation));
        UseAccounts();
        Ui.UseRoom(desk.Room.Guild);

        IRenderedComponent<NewPasswordPage> page = ByLink(made.Path);

        Says(page, "h1", "Choose a new password");
        Says(page, "You sign in as other@example.org");
        Assert.Equal(["password"], page.FindAll("form input[id]:not([type=checkbox])").Select(i => i.Id!));
        Assert.Empty(page.FindAll("[role=alert]"));
    }

    [Theory]
    [InlineData("cut")]
    [InlineData("nonsense")]
    [InlineData("switched off")]
    public async Task NewPassword_WhenTheLinkDoesNotHold_NamesNobodyAndAsksForNothing(string state)
    {
        Guid person = await desk.Room.Guild.AddPersonAsync("Paula Past", $"paula-{state[..3]}@example.org", Role.Member);
        NewPasswordLink made = await desk.Room.Guild.DoAsync<MakeNewPasswordLink, NewPasswordLink>(u => u.RunAsync(desk.Room.Guild.Administrator, person, Cancellation));
        if (state == "switched off")
        {
            await desk.Room.Guild.DoAsync<DisablePerson, DisabledPerson>(u => u.RunAsync(desk.Room.Guild.Administrator, person, Cancellation));
        }

        UseAccounts();
        Ui.UseRoom(desk.Room.Guild);
        IRenderedComponent<NewPasswordPage> page = ByLink(state switch { "cut" => made.Path[..^4], "nonsense" => "/account/new-password/no%20such", _ => made.Path });

        Says(page, "h1", "This link does not hold");
        Says(page, "[role=alert]", "This link leads to no new password. It works once, for 24 hours, and only as a whole: copy all of it again, or ask an administrator of your guild for a new one.");
        Assert.Empty(page.FindAll("form"));
        Assert.DoesNotContain("paula", page.Markup, StringComparison.OrdinalIgnoreCase);
        Assert.Equal("/account/sign-in", page.Find("a.btn").GetAttribute("href"));
    }

    [Fact]
    public async Task NewPassword_WhenTheLinkIsUsedWhileItIsPosted_NamesNobodyAnyMore()
    {
        Guid person = await desk.Room.Guild.AddPersonAsync("Paula Past", "paula-late@example.org", Role.Member);
        NewPasswordLink made = await desk.Room.Guild.DoAsync<MakeNewPasswordLink, NewPasswordLink>(u => u.RunAsync(desk.Room.Guild.Administrator, person, Cancellation));
        UseAccounts();
        Ui.UseRoom(desk.Room.Guild);
        IRenderedComponent<NewPasswordPage> page = Post<NewPasswordPage>(made.Path, "new-password", p => p.Add(c => c.Secret, SecretOf(made.Path)), ("password", "quite-another-9"));
        Says(page, "You sign in as paula-late@example.org");
        await desk.Room.Guild.DoAsync<ChooseNewPassword, Guid>(u => u.RunAsync(SecretOf(made.Path), "a-third-one-of-mine", Cancellation));

        await page.DoneAsync("form", e => e.SubmitAsync());

        Says(page, "h1", "This link does not hold");
        Assert.Empty(page.FindAll("form"));
        Assert.DoesNotContain("paula", page.Markup, StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public async Task Preferences_WhenOpened_ShowWhatThePersonChoseAndElseTheGuilds()
    {
        await desk.Room.Guild.DoAsync<SaveOwnPreferences, bool>(u => u.RunAsync(
            desk.Room.Volunteer, new PreferencesInput("Vera Volunteer", "de-AT", LengthUnit.Metres, Theme.Dark), Cancellation));
        UseAccounts();
        Enter(desk.Room, desk.Room.Volunteer);

        IRenderedComponent<PreferencesPage> chose = Get<PreferencesPage>("/account/preferences?done=saved");
        Says(chose, "p[role=status]", "Saved. Pages you open from now on follow it.");
        Assert.Equal(("Vera Volunteer", "de-AT", "Metres", "Dark"), Shown(chose));
        Says(chose, "You sign in as volunteer@example.org");

        Person.SignIn(desk.Room.OtherMember, "member");
        IRenderedComponent<PreferencesPage> none = Get<PreferencesPage>("/account/preferences");
        Assert.Equal("Numbers, units and look", none.Find("h1").TextContent);
        Assert.Equal(("Otto Other", null, "", "System"), Shown(none));
        Says(none, "As the guild: yards");
        Assert.Empty(none.FindAll("p[role=status]"));
    }

    [Fact]
    public async Task Preferences_WhenTheNameIsRefused_KeepWhatWasChosenAndSaveNothing()
    {
        UseAccounts();
        Enter(desk.Room, desk.Room.Member);
        IRenderedComponent<PreferencesPage> page = Post<PreferencesPage>(
            "/account/preferences", "preferences", ("name", " "), ("culture", "fr-FR"), ("lengthUnit", "Yards"), ("theme", "Light"));

        await page.DoneAsync("form:has(#name)", e => e.SubmitAsync());

        Says(page, "#name-error", "This is needed. Fill it in.");
        Assert.Equal((" ", "fr-FR", "Yards", "Light"), Shown(page));
        Assert.Equal("Mia Member", await desk.Room.AskAsync(db => db.People.Where(p => p.Id == desk.Room.Member).Select(p => p.DisplayName).SingleAsync(Cancellation)));
    }

    [Fact]
    public async Task Preferences_WhenThePasswordIsRefused_SaySoAtItsFieldAndShowTheOthersAsSaved()
    {
        UseAccounts();
        Enter(desk.Room, desk.Room.Member);
        IRenderedComponent<PreferencesPage> page = Post<PreferencesPage>("/account/preferences?done=saved", "password", ("currentPassword", ""), ("password", "quite-another-9"));

        await page.DoneAsync("form:has(#currentPassword)", e => e.SubmitAsync());

        Says(page, "#currentPassword-error", "This is needed. Fill it in.");
        Assert.Empty(page.FindAll("#password-error, #name-error, p[role=status]"));
        Assert.Equal(("Mia Member", null, "", "System"), Shown(page));
    }

    private Task<NewInvitation> InviteAsync(Role role) => desk.Room.Guild.DoAsync<InvitePerson, NewInvitation>(u => u.RunAsync(
        desk.Room.Coordinator, new InvitationInput(role, "the tall one"), Cancellation));

    private IRenderedComponent<InvitePage> Invited(string path)
    {
        IRenderedComponent<InvitePage> page = Get<InvitePage>(path, with: p => p.Add(c => c.Secret, path["/invite/".Length..]));
        page.WaitForElement("[role=alert], form", RoomPages.Patience);
        return page;
    }

    private IRenderedComponent<NewPasswordPage> ByLink(string path)
    {
        IRenderedComponent<NewPasswordPage> page = Get<NewPasswordPage>(path, with: p => p.Add(c => c.Secret, SecretOf(path)));
        page.WaitForElement("[role=alert], form", RoomPages.Patience);
        return page;
    }

    private static string SecretOf(string path) => path["/account/new-password/".Length..];

    private static (string? Name, string? Culture, string? Unit, string? Theme) Shown(IRenderedComponent<PreferencesPage> page)
    {
        page.WaitForElement("form", RoomPages.Patience);
        string? Chosen(string selector) => page.FindAll(selector).Select(e => e.GetAttribute("value")).SingleOrDefault();
        return (Chosen("#name"), Chosen("#culture option[selected]"), Chosen("input[name=lengthUnit][checked]"), Chosen("input[name=theme][checked]"));
    }
}
