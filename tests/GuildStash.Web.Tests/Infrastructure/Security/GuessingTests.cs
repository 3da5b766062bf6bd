using System.Net;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.People;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Infrastructure.Security;

/// <summary>The limits on guessing bite, and ordinary work does not feel them.</summary>
public sealed class GuessingTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task SignIn_WhenManyAccountsAreTriedFromOneNetwork_IsHeldBackWhileOthersWork()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor inside = await room.SignInAsync("volunteer@example.org");
        using Visitor visitor = room.Visit();
        WrongTries tries = await room.Guild.UseAsync<WrongTries, WrongTries>(Task.FromResult);
        for (int wrong = 1; wrong < WrongTries.Most; wrong++)
        {
            tries.Count(IPAddress.Loopback);
        }

        string last = await TryAsync(visitor, "nobody@example.org");
        string held = await TryAsync(visitor, "member@example.org", GuildRoom.Password);
        using HttpResponseMessage working = await inside.GetAsync("/intake");

        Assert.StartsWith("This address and this password", last, StringComparison.Ordinal);
        Assert.StartsWith("From your network there were many wrong passwords. Wait 15 minutes", held, StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.OK, working.StatusCode);
        Assert.True(tries.MayTry(IPAddress.Parse("192.0.2.7")));
    }

    [Fact]
    public async Task SignIn_WhenAWholeGuildSignsInBehindOneAddress_IsNotHeldBack()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        for (int time = 1; time <= WrongTries.Most + 5; time++)
        {
            using Visitor visitor = await room.SignInAsync("member@example.org");
        }
    }

    [Theory]
    [InlineData("/account/preferences", "password")]
    [InlineData("/invite/none", "invitation")]
    [InlineData("/account/new-password/none", "new-password")]
    [InlineData("/setup", "set-up")]
    public async Task Form_WhenPostedTooOften_IsHeldBack(string path, string form)
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor visitor = path == "/account/preferences" ? await room.SignInAsync("member@example.org") : room.Visit();
        for (int time = 1; time <= RateLimits.TriesPerMinute; time++)
        {
            using HttpResponseMessage ignored = await visitor.PostBareAsync(path, ("_handler", form));
        }

        using HttpResponseMessage held = await visitor.PostBareAsync(path, ("_handler", form));

        Assert.Equal(HttpStatusCode.TooManyRequests, held.StatusCode);
    }

    [Fact]
    public async Task Password_WhenTheOldOneIsGuessed_TheAccountRests()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Outcome<bool> last = true;
        for (int wrong = 1; wrong <= 8; wrong++)
        {
            last = await ChangeAsync(room, "not the password");
        }

        Assert.Equal(("invalid-value", "currentPassword"), (last.Refusal.Rule, last.Refusal.Field));
        Assert.False((await ChangeAsync(room, GuildRoom.Password)).IsOk);
    }

    [Fact]
    public async Task Tokens_WhenManyAreMadeWithinAnHour_IsHeldBackForThatPersonOnly()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        for (int made = 1; made <= IssueToken.MostInAnHour; made++)
        {
            IssuedToken token = await room.DoAsync<IssueToken, IssuedToken>(u => u.RunAsync(room.Member, "scale", 30, TokenScope.Write, Cancellation));
            await room.DoAsync<RevokeToken, bool>(u => u.RunAsync(room.Member, token.Id, Cancellation));
        }

        Refuse.Rule("too-many-tokens", await room.UseAsync<IssueToken, Outcome<IssuedToken>>(u => u.RunAsync(room.Member, "scale", 30, TokenScope.Write, Cancellation)));
        await room.DoAsync<IssueToken, IssuedToken>(u => u.RunAsync(room.OtherMember, "scale", 30, TokenScope.Write, Cancellation));
    }

    [Fact]
    public async Task Api_WhenAProgramWorksFast_IsNotLimited()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        for (int call = 1; call <= (RateLimits.TriesPerMinute * 2) + 1; call++)
        {
            using HttpResponseMessage answer = await room.Member.GetAsync("/api/v1/lots", Cancellation);
            Assert.Equal((call, HttpStatusCode.OK), (call, answer.StatusCode));
        }
    }

    [Theory]
    [InlineData("192.0.2.7", "192.0.2.7")]
    [InlineData("::ffff:192.0.2.7", "192.0.2.7")]
    [InlineData("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64")]
    [InlineData("2001:db8:1:2:ffff::1", "2001:db8:1:2::/64")]
    [InlineData(null, "unknown")]
    public void Network_WhenAddressesAreOfOneConnection_IsTheSame(string? address, string network) =>
        Assert.Equal(network, RateLimits.NetworkOf(address is null ? null : IPAddress.Parse(address)));

    private static Task<Outcome<bool>> ChangeAsync(GuildRoom room, string current) =>
        room.UseAsync<ChangeOwnPassword, Outcome<bool>>(u => u.RunAsync(room.Member, current, "another-good-one-7"));

    private static async Task<string> TryAsync(Visitor visitor, string email, string password = "wrong-password")
    {
        using HttpResponseMessage answer = await visitor.PostAsync("/account/sign-in", "sign-in", ("email", email), ("password", password));
        return (await Visitor.PageAsync(answer)).QuerySelector("[role=alert]")!.TextContent.Trim();
    }
}
