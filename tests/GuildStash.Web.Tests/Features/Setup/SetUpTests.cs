using System.Net;
using AngleSharp.Html.Dom;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Setup;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Setup;

/// <summary>The first start: nothing works until somebody with the code from the console made the guild, and that once.</summary>
public sealed class SetUpTests(PostgresFixture postgres)
{
    private static readonly (string Name, string Value)[] Good =
    [
        ("guildName", "Quay Yarn Guild"), ("timeZone", "Europe/Berlin"), ("culture", "de-DE"), ("lengthUnit", "Metres"),
        ("name", "Ada Admin"), ("email", "admin@example.org"), ("password", GuildRoom.Password),
    ];

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Theory]
    [InlineData("/")]
    [InlineData("/account/sign-in")]
    [InlineData("/people")]
    [InlineData("/invite/anything")]
    public async Task Open_WhenThereIsNoGuild_EveryPageLeadsToSetUp(string path)
    {
        await using WebRoom room = await WebRoom.OpenEmptyAsync(postgres);
        using Visitor visitor = room.Visit();

        using HttpResponseMessage answer = await visitor.GetAsync(path);

        Assert.Equal((HttpStatusCode.Redirect, "/setup"), (answer.StatusCode, visitor.Target(answer)));
    }

    [Fact]
    public async Task Open_WhenThereIsNoGuild_HealthAndStylesAreServed()
    {
        await using WebRoom room = await WebRoom.OpenEmptyAsync(postgres);
        using Visitor visitor = room.Visit();

        foreach (string path in new[] { "/health/ready", "/theme.css", "/css/people.css" })
        {
            using HttpResponseMessage answer = await visitor.GetAsync(path);
            Assert.Equal((path, HttpStatusCode.OK), (path, answer.StatusCode));
        }
    }

    [Fact]
    public async Task SetUp_WhenTheCodeIsRight_MakesTheGuildSignsInAndWorksOnce()
    {
        await using WebRoom room = await WebRoom.OpenEmptyAsync(postgres);
        using Visitor visitor = room.Visit();
        string code = (await CodeAsync(room))!;

        using HttpResponseMessage made = await visitor.PostAsync($"/setup?code={code}", "set-up", Good);
        using HttpResponseMessage home = await visitor.GetAsync("/");

        Assert.Equal((HttpStatusCode.Redirect, "/"), (made.StatusCode, visitor.Target(made)));
        Assert.Equal("Hello, Ada Admin", (await Visitor.PageAsync(home)).QuerySelector("h1")?.TextContent);
        Assert.Null(await CodeAsync(room));
        Assert.Equal("This guild is set up", (await visitor.OpenAsync($"/setup?code={code}")).QuerySelector("h1")?.TextContent);
    }

    [Theory]
    [InlineData("AAAAA-AAAAA-AAAAA-AAAAA")]
    [InlineData("nonsense")]
    [InlineData("ÄÖÜ")]
    public async Task SetUp_WhenTheCodeIsWrong_IsRefusedInAWord(string wrong)
    {
        await using WebRoom room = await WebRoom.OpenEmptyAsync(postgres);
        using Visitor visitor = room.Visit();
        IHtmlDocument asked = await visitor.OpenAsync($"/setup?code={Uri.EscapeDataString(wrong)}");
        string code = (await CodeAsync(room))!;

        using HttpResponseMessage posted = await visitor.PostAsync($"/setup?code={code}", "set-up", [.. Good, ("code", wrong)]);

        Assert.Contains("This is not the code", asked.QuerySelector("#code-error")?.TextContent, StringComparison.Ordinal);
        Assert.Null(asked.QuerySelector("[name=guildName]"));
        Assert.Contains("This is not the code", (await Visitor.PageAsync(posted)).QuerySelector("#code-error")?.TextContent, StringComparison.Ordinal);
        Assert.NotNull(await CodeAsync(room));
    }

    [Fact]
    public async Task SetUp_WhenAFieldIsWrong_KeepsWhatWasTypedButNotThePassword()
    {
        await using WebRoom room = await WebRoom.OpenEmptyAsync(postgres);
        using Visitor visitor = room.Visit();
        string code = (await CodeAsync(room))!;

        using HttpResponseMessage refused = await visitor.PostAsync($"/setup?code={code}", "set-up", [.. Good, ("timeZone", "Mars/Olympus")]);

        string html = await refused.Content.ReadAsStringAsync(Cancellation);
        IHtmlDocument page = await Visitor.PageAsync(refused);
        Assert.Equal(HttpStatusCode.OK, refused.StatusCode);
        Assert.Contains("Mars/Olympus", page.QuerySelector("#timeZone-error")?.TextContent, StringComparison.Ordinal);
        Assert.Equal("Quay Yarn Guild", page.QuerySelector("[name=guildName]")?.GetAttribute("value"));
        Assert.Equal("de-DE", ((IHtmlSelectElement)page.QuerySelector("[name=culture]")!).Value);
        Assert.DoesNotContain(GuildRoom.Password, html, StringComparison.Ordinal);
    }

    [Fact]
    public async Task SetUp_WhenZoneAndPasswordAreWrong_BothAreSaidAtOnceAndACityAloneWillDo()
    {
        await using GuildRoom room = await GuildRoom.OpenEmptyAsync(postgres);
        SetUpInput input = new("Quay", "Mars/Olympus", "de-DE", LengthUnit.Metres, "Ada Admin", "admin@example.org", "short1");

        Outcome<Guid> refused = await room.UseAsync<SetUpGuild, Outcome<Guid>>(setUp => setUp.RunAsync(input, Cancellation));
        Outcome<Guid> made = await room.UseAsync<SetUpGuild, Outcome<Guid>>(setUp => setUp.RunAsync(input with { TimeZone = "paris", Password = GuildRoom.Password }, Cancellation));

        Assert.Equal(["timeZone", "password"], refused.Refusals.Select(refusal => refusal.Field!));
        Assert.True(made.IsOk);
        await using var db = room.Look();
        Assert.Equal("Europe/Paris", await db.Guilds.Select(guild => guild.TimeZone).SingleAsync(Cancellation));
    }

    [Fact]
    public async Task SetUp_WhenTwoDoItAtOnce_OneGuildAndOneAdministratorAreMade()
    {
        await using GuildRoom room = await GuildRoom.OpenEmptyAsync(postgres);

        Outcome<Guid>[] outcomes = await Task.WhenAll(Enumerable.Range(0, 4).Select(i => room.UseAsync<SetUpGuild, Outcome<Guid>>(setUp => setUp.RunAsync(
            new SetUpInput($"Guild {i}", "Europe/Berlin", "de-DE", LengthUnit.Metres, "Ada Admin", $"admin{i}@example.org", GuildRoom.Password), Cancellation))));

        Assert.Single(outcomes, outcome => outcome.IsOk);
        Assert.All(outcomes.Where(outcome => !outcome.IsOk), outcome => Assert.Equal("set-up-done", outcome.Refusal.Rule));
        await using var db = room.Look();
        Assert.Equal((1, 1, 2), (await db.Guilds.CountAsync(Cancellation), await db.People.CountAsync(Cancellation), await db.Bins.CountAsync(Cancellation)));
    }

    [Fact]
    public async Task Line_WhileThereIsNoGuild_HoldsTheAddressWithTheCode()
    {
        await using GuildRoom room = await GuildRoom.OpenEmptyAsync(postgres);
        string code = (await room.UseAsync<SetUpCode, string?>(c => c.CurrentAsync(Cancellation)))!;

        string? line = await room.UseAsync<SetUpCode, string?>(c => c.LineAsync("http://localhost:5080", Cancellation));

        Assert.Contains($" http://localhost:5080/setup?code={code} ", line, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Match_WhenTyped_AllowsCaseSpacesAndDashesButNothingElse()
    {
        await using GuildRoom room = await GuildRoom.OpenEmptyAsync(postgres);
        SetUpCode gate = await room.UseAsync<SetUpCode, SetUpCode>(Task.FromResult);
        string code = (await gate.CurrentAsync(Cancellation))!;

        Assert.Matches("^([2-9A-HJ-NP-Z]{5}-){3}[2-9A-HJ-NP-Z]{5}$", code);
        Assert.True(gate.Matches(code.ToLowerInvariant().Replace('-', ' ')));
        Assert.All(new[] { null, "", code[..^1], code + "A", code[1..] + code[0] + "2" }, wrong => Assert.False(gate.Matches(wrong)));
    }

    private static Task<string?> CodeAsync(WebRoom room) => room.AskCodeAsync(code => code.CurrentAsync(Cancellation));
}
