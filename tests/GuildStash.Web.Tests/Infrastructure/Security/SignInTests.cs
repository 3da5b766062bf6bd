using System.Net;
using AngleSharp.Dom;
using AngleSharp.Html.Dom;
using GuildStash.Domain.People;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.People;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Tests.Support;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Xunit;

namespace GuildStash.Web.Tests.Infrastructure.Security;

/// <summary>Sign-in and what hangs on it, through the pages of a real web server.</summary>
public sealed class SignInTests(PostgresFixture postgres)
{
    private const string Page = "/account/sign-in";

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task SignIn_WhenThePasswordIsRight_OpensTheRoomAndSignOutClosesIt()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor visitor = room.Visit();
        using HttpResponseMessage asked = await visitor.GetAsync("/");
        Assert.Equal("/account/sign-in?returnUrl=%2F", visitor.Target(asked));

        using HttpResponseMessage answer = await SignInAsync(visitor, "MEMBER@example.org");
        IHtmlDocument home = await visitor.OpenAsync("/");
        IElement form = home.QuerySelector("form[action='/account/sign-out']")!;
        using HttpResponseMessage unproved = await visitor.PostBareAsync("/account/sign-out");
        Assert.Equal("Hello, Mia Member", (await visitor.OpenAsync("/")).QuerySelector("h1")?.TextContent);
        using HttpResponseMessage signedOut = await visitor.PostAsync("/", form);
        using HttpResponseMessage after = await visitor.GetAsync("/");

        Assert.Equal((HttpStatusCode.Redirect, "/"), (answer.StatusCode, visitor.Target(answer)));
        Assert.Equal("Hello, Mia Member", home.QuerySelector("h1")?.TextContent);
        Assert.Equal(HttpStatusCode.BadRequest, unproved.StatusCode);
        Assert.Equal("/account/sign-in?done=signed-out", visitor.Target(signedOut));
        Assert.Equal(HttpStatusCode.Redirect, after.StatusCode);
    }

    [Fact]
    public async Task SignIn_WhenRefused_SaysTheSameForWrongPasswordUnknownAddressAndRestingAccount()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor visitor = room.Visit();

        string unknown = await RefusedAsync(visitor, "nobody@example.org", GuildRoom.Password);
        string wrong = "";
        for (int attempt = 1; attempt <= 8; attempt++)
        {
            wrong = await RefusedAsync(visitor, "member@example.org", "wrong-password");
        }

        string resting = await RefusedAsync(visitor, "member@example.org", GuildRoom.Password);

        Assert.StartsWith("This address and this password don't go together.", unknown, StringComparison.Ordinal);
        Assert.Contains("After 8 wrong tries an account rests for 10 minutes", unknown, StringComparison.Ordinal);
        Assert.Equal((unknown, unknown), (wrong, resting));
        await using var db = room.Guild.Look();
        Assert.NotNull(await db.People.Where(p => p.Email == "member@example.org").Select(p => p.LockoutEnd).SingleAsync(Cancellation));
    }

    [Fact]
    public async Task SignIn_WhenSevenTriesWereWrong_TheRightOneStillOpens()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor visitor = room.Visit();
        for (int attempt = 1; attempt <= 7; attempt++)
        {
            await RefusedAsync(visitor, "member@example.org", "wrong-password");
        }

        using HttpResponseMessage answer = await SignInAsync(visitor, "member@example.org");

        Assert.Equal(HttpStatusCode.Redirect, answer.StatusCode);
    }

    [Fact]
    public async Task SignIn_WhenSwitchedOff_IsRefusedAndOnlyTheRightPasswordLearnsWhy()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        await room.Guild.DoAsync<DisablePerson, DisabledPerson>(u => u.RunAsync(room.Guild.Administrator, room.Guild.Member, Cancellation));
        using Visitor visitor = room.Visit();

        Assert.StartsWith("This address and this password", await RefusedAsync(visitor, "member@example.org", "wrong-password"), StringComparison.Ordinal);
        Assert.Equal("This account is switched off. Ask an administrator of your guild.", await RefusedAsync(visitor, "member@example.org", GuildRoom.Password));
        using HttpResponseMessage home = await visitor.GetAsync("/");
        Assert.Equal(HttpStatusCode.Redirect, home.StatusCode);
    }

    [Theory]
    [InlineData("%2Finventory%3Fpage%3D2", "/inventory?page=2")]
    [InlineData("https%3A%2F%2Fevil.example.org%2F", "/")]
    [InlineData("%2F%2Fevil.example.org", "/")]
    [InlineData("%2F%5Cevil.example.org", "/")]
    public async Task SignIn_WhenAReturnAddressIsGiven_OnlyOneOfThisSiteIsFollowed(string given, string expected)
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor visitor = room.Visit();

        using HttpResponseMessage answer = await visitor.PostAsync($"{Page}?returnUrl={given}", "sign-in", ("email", "member@example.org"), ("password", GuildRoom.Password));
        using HttpResponseMessage again = await visitor.GetAsync($"{Page}?returnUrl={given}");

        Assert.Equal((expected, expected), (visitor.Target(answer), visitor.Target(again)));
    }

    [Fact]
    public async Task SignIn_WhenPostedWithoutTheFormsToken_IsRefusedInWords()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor visitor = room.Visit();

        using HttpResponseMessage answer = await visitor.PostBareAsync(Page, ("_handler", "sign-in"), ("email", "member@example.org"), ("password", GuildRoom.Password));

        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        Assert.Equal("This form was not taken", (await Visitor.PageAsync(answer)).QuerySelector("h1")?.TextContent);
    }

    [Fact]
    public async Task SignIn_WhenTriedTooOften_IsHeldBackButThePageStaysOpen()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor visitor = room.Visit();
        for (int attempt = 1; attempt <= RateLimits.TriesPerMinute; attempt++)
        {
            using HttpResponseMessage ignored = await visitor.PostBareAsync(Page, ("_handler", "sign-in"));
        }

        using HttpResponseMessage held = await visitor.PostBareAsync(Page, ("_handler", "sign-in"));
        using HttpResponseMessage looking = await visitor.GetAsync(Page);

        Assert.Equal((HttpStatusCode.TooManyRequests, HttpStatusCode.OK), (held.StatusCode, looking.StatusCode));
        Assert.Equal("Too many tries", (await Visitor.PageAsync(held)).QuerySelector("h1")?.TextContent);
    }

    [Fact]
    public async Task SignIn_WhenFieldsAreEmpty_EachSaysSo()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor visitor = room.Visit();

        using HttpResponseMessage answer = await visitor.PostAsync(Page, "sign-in");

        IHtmlDocument page = await Visitor.PageAsync(answer);
        Assert.Equal(["email", "password"], page.QuerySelectorAll("[aria-invalid=true]").Select(input => input.Id));
    }

    [Fact]
    public async Task Open_WhenTheRoleIsTooLow_TellsSoAndWhenUnknown_ThereIsNoSuchPage()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor member = await room.SignInAsync("member@example.org");

        using HttpResponseMessage people = await member.GetAsync("/people");
        using HttpResponseMessage nothing = await member.GetAsync("/no/such/page");

        Assert.Equal("/not-allowed?returnUrl=%2Fpeople", member.Target(people));
        Assert.Equal("This page is not for your role", (await member.OpenAsync("/not-allowed")).QuerySelector("main h1")?.TextContent);
        Assert.Equal(HttpStatusCode.NotFound, nothing.StatusCode);
        Assert.Equal("There is no such page", (await Visitor.PageAsync(nothing)).QuerySelector("main h1")?.TextContent);
    }

    [Fact]
    public async Task Accept_WhenTheInvitationHolds_SignsInAndTheLinkIsUsedUp()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        NewInvitation invitation = await room.Guild.DoAsync<InvitePerson, NewInvitation>(u => u.RunAsync(room.Guild.Coordinator, new InvitationInput(Role.Volunteer), Cancellation));
        using Visitor visitor = room.Visit();

        using HttpResponseMessage tooShort = await visitor.PostAsync(invitation.Path, "invitation", ("name", "Nora New"), ("email", "nora@example.org"), ("password", "short"));
        Assert.Contains("too short", (await Visitor.PageAsync(tooShort)).QuerySelector("#password-error")?.TextContent, StringComparison.Ordinal);
        using HttpResponseMessage made = await visitor.PostAsync(invitation.Path, "invitation", ("name", "Nora New"), ("email", "nora@example.org"), ("password", GuildRoom.Password));

        Assert.Equal("/", visitor.Target(made));
        Assert.Equal("Hello, Nora New", (await visitor.OpenAsync("/")).QuerySelector("h1")?.TextContent);
        IHtmlDocument used = await room.Visit().OpenAsync(invitation.Path);
        Assert.Contains("This invitation was used already.", used.QuerySelector("[role=alert]")?.TextContent, StringComparison.Ordinal);
        Assert.Null(used.QuerySelector("form"));
    }

    [Fact]
    public async Task Accept_WhenWithdrawnWhileTheFormWasOpen_TellsSo()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        NewInvitation invitation = await room.Guild.DoAsync<InvitePerson, NewInvitation>(u => u.RunAsync(room.Guild.Coordinator, new InvitationInput(Role.Volunteer), Cancellation));
        using Visitor visitor = room.Visit();
        IElement form = (await visitor.OpenAsync(invitation.Path)).QuerySelector("form")!;
        await room.Guild.DoAsync<WithdrawInvitation, bool>(u => u.RunAsync(room.Guild.Coordinator, invitation.Id, Cancellation));

        using HttpResponseMessage answer = await visitor.PostAsync(invitation.Path, form, ("name", "Nora"), ("email", "nora@example.org"), ("password", GuildRoom.Password));

        IHtmlDocument page = await Visitor.PageAsync(answer);
        Assert.Contains("This invitation was withdrawn.", page.QuerySelector("[role=alert]")?.TextContent, StringComparison.Ordinal);
        Assert.Null(page.QuerySelector("form"));
    }

    [Fact]
    public async Task Save_WhenPreferencesChange_TheNextPageFollowsThemAndElseTheGuild()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor member = await room.SignInAsync("member@example.org");
        IHtmlDocument before = await member.OpenAsync("/");

        using HttpResponseMessage saved = await member.PostAsync("/account/preferences", "preferences", ("name", "Mia Muster"), ("culture", "de-AT"), ("lengthUnit", "Metres"), ("theme", "Dark"));

        IHtmlDocument after = await member.OpenAsync("/");
        Assert.Equal("/account/preferences?done=saved", member.Target(saved));
        Assert.Equal(("en-GB", null), (before.DocumentElement.GetAttribute("lang"), before.DocumentElement.GetAttribute("data-theme")));
        Assert.Equal(("de-AT", "dark"), (after.DocumentElement.GetAttribute("lang"), after.DocumentElement.GetAttribute("data-theme")));
        Assert.Equal("Hello, Mia Muster", after.QuerySelector("h1")?.TextContent);
    }

    [Fact]
    public async Task ChangePassword_WhenThePresentOneIsRight_TheNewOneOpensAndTheOldOneNot()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor member = await room.SignInAsync("member@example.org");
        using HttpResponseMessage wrong = await member.PostAsync("/account/preferences", "password", ("currentPassword", "not-this-one"), ("password", "quite-another-9"));
        using HttpResponseMessage weak = await member.PostAsync("/account/preferences", "password", ("currentPassword", GuildRoom.Password), ("password", "weak"));
        using HttpResponseMessage changed = await member.PostAsync("/account/preferences", "password", ("currentPassword", GuildRoom.Password), ("password", "quite-another-9"));
        using Visitor other = room.Visit();

        Assert.NotNull((await Visitor.PageAsync(wrong)).QuerySelector("#currentPassword-error"));
        Assert.NotNull((await Visitor.PageAsync(weak)).QuerySelector("#password-error"));
        Assert.Equal("/account/preferences?done=password", member.Target(changed));
        Assert.Equal("Hello, Mia Member", (await member.OpenAsync("/")).QuerySelector("h1")?.TextContent);
        Assert.NotEmpty(await RefusedAsync(other, "member@example.org", GuildRoom.Password));
        using HttpResponseMessage opened = await other.PostAsync(Page, "sign-in", ("email", "member@example.org"), ("password", "quite-another-9"));
        Assert.Equal(HttpStatusCode.Redirect, opened.StatusCode);
    }

    [Fact]
    public async Task Show_WhenPseudoLanguage_NoPageHasUntranslatedText()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres, builder => builder.Environment.EnvironmentName = Environments.Development);
        NewInvitation invitation = await room.Guild.DoAsync<InvitePerson, NewInvitation>(u => u.RunAsync(room.Guild.Coordinator, new InvitationInput(Role.Member, "for Nora"), Cancellation));
        using Visitor visitor = room.Visit();
        await using (var db = room.Guild.Look())
        {
            await db.People.ExecuteUpdateAsync(set => set.SetProperty(p => p.Culture, "qps-Ploc"), Cancellation);
        }

        NewPasswordLink link = await room.Guild.DoAsync<MakeNewPasswordLink, NewPasswordLink>(u => u.RunAsync(room.Guild.Administrator, room.Guild.Member, Cancellation));
        foreach (string path in new[] { Page, invitation.Path, "/invite/none", link.Path, "/account/new-password/none", "/setup", "/status/429" })
        {
            await AssertTranslatedAsync(visitor, path + "?culture=qps-Ploc&ui-culture=qps-Ploc");
        }

        using Visitor administrator = await room.SignInAsync("admin@example.org");
        foreach (string path in new[] { "/", "/people", "/people?search=nobody-like-this", "/settings", "/account/preferences", "/account/tokens", "/not-allowed" })
        {
            await AssertTranslatedAsync(administrator, path);
        }
    }

    [Fact]
    public async Task Open_WhenSwitchedOffMeanwhile_LeadsToSignInAtTheNextLookAtTheCookie()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres, LookAtEveryRequest);
        using Visitor member = await room.SignInAsync("member@example.org");
        using HttpResponseMessage before = await member.GetAsync("/");
        await room.Guild.DoAsync<DisablePerson, DisabledPerson>(u => u.RunAsync(room.Guild.Administrator, room.Guild.Member, Cancellation));

        using HttpResponseMessage after = await member.GetAsync("/");

        Assert.Equal(HttpStatusCode.OK, before.StatusCode);
        Assert.Equal((HttpStatusCode.Redirect, "/account/sign-in?returnUrl=%2F"), (after.StatusCode, member.Target(after)));
    }

    [Fact]
    public async Task Open_WhenTheRoleChangedMeanwhile_FollowsAtTheNextLookAtTheCookie()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres, LookAtEveryRequest);
        using Visitor member = await room.SignInAsync("member@example.org");
        await room.Guild.DoAsync<ChangeRole, Role>(u => u.RunAsync(room.Guild.Administrator, room.Guild.Member, Role.Coordinator, Cancellation));

        using HttpResponseMessage people = await member.GetAsync("/people");

        Assert.Equal(HttpStatusCode.OK, people.StatusCode);
    }

    [Fact]
    public async Task ChangePassword_WhenSignedInElsewhere_EndsThere()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres, LookAtEveryRequest);
        using Visitor here = await room.SignInAsync("member@example.org");
        using Visitor elsewhere = await room.SignInAsync("member@example.org");
        using HttpResponseMessage changed = await here.PostAsync("/account/preferences", "password", ("currentPassword", GuildRoom.Password), ("password", "quite-another-9"));

        using HttpResponseMessage stays = await here.GetAsync("/");
        using HttpResponseMessage ends = await elsewhere.GetAsync("/");

        Assert.Equal((HttpStatusCode.OK, HttpStatusCode.Redirect), (stays.StatusCode, ends.StatusCode));
    }

    [Fact]
    public async Task NewPassword_WhenChosenByALink_SignsInHereEndsElsewhereAndWorksOnce()
    {
        const string chosen = "quite-another-9";
        await using WebRoom room = await WebRoom.OpenAsync(postgres, LookAtEveryRequest);
        using Visitor elsewhere = await room.SignInAsync("member@example.org");
        NewPasswordLink link = await room.Guild.DoAsync<MakeNewPasswordLink, NewPasswordLink>(u => u.RunAsync(room.Guild.Administrator, room.Guild.Member, Cancellation));
        using Visitor visitor = room.Visit();
        using Visitor late = room.Visit();
        IElement lateForm = (await late.OpenAsync(link.Path)).QuerySelector("form")!;

        using HttpResponseMessage bare = await visitor.PostBareAsync(link.Path, ("_handler", "new-password"), ("password", chosen));
        using HttpResponseMessage tooShort = await visitor.PostAsync(link.Path, "new-password", ("password", "short"));
        using HttpResponseMessage made = await visitor.PostAsync(link.Path, "new-password", ("password", chosen));
        using HttpResponseMessage again = await late.PostAsync(link.Path, lateForm, ("password", "a-third-one-of-mine"));
        using HttpResponseMessage ends = await elsewhere.GetAsync("/");
        using HttpResponseMessage opened = await elsewhere.PostAsync(Page, "sign-in", ("email", "member@example.org"), ("password", chosen));

        Assert.Equal(HttpStatusCode.BadRequest, bare.StatusCode);
        Assert.Contains("too short", (await Visitor.PageAsync(tooShort)).QuerySelector("#password-error")?.TextContent, StringComparison.Ordinal);
        Assert.Equal("/", visitor.Target(made));
        Assert.Equal("Hello, Mia Member", (await visitor.OpenAsync("/")).QuerySelector("h1")?.TextContent);
        IHtmlDocument used = await Visitor.PageAsync(again);
        Assert.Contains("This link leads to no new password.", used.QuerySelector("[role=alert]")?.TextContent, StringComparison.Ordinal);
        Assert.Null(used.QuerySelector("form"));
        Assert.DoesNotContain("member@example.org", used.DocumentElement.OuterHtml, StringComparison.Ordinal);
        Assert.Equal((HttpStatusCode.Redirect, HttpStatusCode.Redirect), (ends.StatusCode, opened.StatusCode));
        Assert.NotEmpty(await RefusedAsync(late, "member@example.org", GuildRoom.Password));
    }

    private static void LookAtEveryRequest(WebApplicationBuilder builder) =>
        builder.Services.PostConfigure<SecurityStampValidatorOptions>(options => options.ValidationInterval = TimeSpan.Zero);

    private static async Task AssertTranslatedAsync(Visitor visitor, string path)
    {
        using HttpResponseMessage answer = await visitor.GetAsync(path);
        string html = await answer.Content.ReadAsStringAsync(Cancellation);

        Assert.Contains("⟦", WebUtility.HtmlDecode(html), StringComparison.Ordinal);
        Assert.Equal((path, ""), (path, string.Join(" | ", UntranslatedText.Find(html.Replace(" · GuildStash</title>", "</title>", StringComparison.Ordinal)))));
    }

    private static Task<HttpResponseMessage> SignInAsync(Visitor visitor, string email) =>
        visitor.PostAsync(Page, "sign-in", ("email", email), ("password", GuildRoom.Password));

    private static async Task<string> RefusedAsync(Visitor visitor, string email, string password)
    {
        using HttpResponseMessage answer = await visitor.PostAsync(Page, "sign-in", ("email", email), ("password", password));
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        return (await Visitor.PageAsync(answer)).QuerySelector("[role=alert]")!.TextContent.Trim();
    }
}
