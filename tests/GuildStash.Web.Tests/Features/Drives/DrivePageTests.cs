using System.Net;
using AngleSharp.Dom;
using AngleSharp.Html.Dom;
using GuildStash.Data;
using GuildStash.Domain.People;
using GuildStash.Domain.Projects;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace GuildStash.Web.Tests.Features.Drives;

/// <summary>A drive as somebody sees it who is not signed in.</summary>
public sealed class DrivePageTests(PostgresFixture postgres)
{
    private static readonly DateOnly s_day = new(2026, 3, 9);

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Open_WhenAProjectHasAPublicName_TellsHowFarItIsWithoutScriptCookieOrName()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        Guid project = await DriveAsync(room);
        await room.Guild.PublishAsync(project, "warm-hats");
        using Visitor visitor = room.Visit();
        using HttpResponseMessage answer = await visitor.GetAsync("/drives/warm-hats");
        IHtmlDocument page = await Visitor.PageAsync(answer);
        string text = Words(page.QuerySelector("main")!);

        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        Assert.StartsWith("Warm hats Harbour Yarn Guild · for Quayside Shelter · by ", text, StringComparison.Ordinal);
        Assert.Contains("12 of 75 delivered, 38 in hand, 30 still to be made", text, StringComparison.Ordinal);
        Assert.Equal(["Hat 60 12 18 30", "Scarf 15 0 20 0", "In all 75 12 38 30"], page.QuerySelectorAll("tbody tr, tfoot tr").Select(Words));
        Assert.Contains("Machine-washable only", text, StringComparison.Ordinal);
        Assert.Contains("No drawstrings", text, StringComparison.Ordinal);
        Assert.Contains("Harbour Yarn Guild3 Wharf Lane", text, StringComparison.Ordinal);

        // A strand of 60 hats: 12 delivered are a fifth of it, with the 18 in hand it is the half.
        Assert.Equal(["20%", "50%"], page.QuerySelectorAll("tbody tr:first-child line").Where(l => l.ClassName is "delivered" or "in-hand").Select(l => l.GetAttribute("x2")).Order());
        Assert.DoesNotContain("<!--Blazor:{\"type\":\"server\"", await answer.Content.ReadAsStringAsync(Cancellation), StringComparison.Ordinal);
        Assert.False(answer.Headers.Contains("Set-Cookie"));
        Assert.Equal("public, max-age=60", answer.Headers.CacheControl?.ToString());
        Assert.Equal("noindex", Assert.Single(answer.Headers.GetValues("X-Robots-Tag")));
        Assert.Equal("noindex", page.QuerySelector("meta[name=robots]")?.GetAttribute("content"));
        Assert.Contains("default-src 'self'", string.Join(' ', answer.Headers.GetValues("Content-Security-Policy")), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Open_WhateverIsKnownOfPeople_NamesNobodyAndNoLot()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        Guid project = await DriveAsync(room);
        await room.Guild.PublishAsync(project, "warm-hats");
        using Visitor visitor = room.Visit();
        using HttpResponseMessage answer = await visitor.GetAsync("/drives/warm-hats");
        string html = WebUtility.HtmlDecode(await answer.Content.ReadAsStringAsync(Cancellation));

        await using GuildDbContext db = room.Guild.Look();
        string[] secrets =
        [
            .. await db.People.Select(p => p.DisplayName).ToListAsync(Cancellation), .. await db.People.Select(p => p.Email!).ToListAsync(Cancellation),
            .. await db.Donors.Select(d => d.Name).ToListAsync(Cancellation), .. await db.Donors.Select(d => d.Contact).ToListAsync(Cancellation),
            .. await db.Lots.Select(l => l.Code).ToListAsync(Cancellation), .. await db.Donations.Select(d => d.Number).ToListAsync(Cancellation),
            "Zsófia's own words", "ask Ødegård", "note of Þórunn", project.ToString(),
        ];
        Assert.True(secrets.Length > 12);
        Assert.All(secrets, secret => Assert.DoesNotContain(secret, html, StringComparison.OrdinalIgnoreCase));
    }

    [Theory]
    [InlineData("/drives/warm-hats", null)]
    [InlineData("/drives/cold-hats", "warm-hats")]
    [InlineData("/drives/%25", "warm-hats")]
    [InlineData("/drives/warm_hats", "warm-hats")]
    public async Task Open_WhenNoProjectHasThisName_IsNotFoundInWords(string path, string? publicName)
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        Guid project = await DriveAsync(room);
        await room.Guild.PublishAsync(project, publicName);
        using Visitor visitor = room.Visit();
        using HttpResponseMessage answer = await visitor.GetAsync(path);

        Assert.Equal(HttpStatusCode.NotFound, answer.StatusCode);
        Assert.Equal("There is no such drive", Words((await Visitor.PageAsync(answer)).QuerySelector("h1")!));
        Assert.Equal("no-store", answer.Headers.CacheControl?.ToString());
        using HttpResponseMessage byKey = await visitor.GetAsync($"/drives/{project}");
        Assert.Equal(HttpStatusCode.NotFound, byKey.StatusCode);
    }

    [Fact]
    public async Task Open_WhenOpenedAgainWithinAMinute_TellsWhatItToldAndAsksNothing()
    {
        FakeTimeProvider clock = new(DateTimeOffset.UtcNow);
        await using WebRoom room = await WebRoom.OpenAsync(postgres, builder => builder.Services.AddSingleton<TimeProvider>(clock));
        Guid project = await DriveAsync(room);
        await room.Guild.PublishAsync(project, "warm-hats");
        using Visitor visitor = room.Visit();
        string first = await DeliveredAsync(visitor, "/drives/Warm-HATS");
        await room.Guild.RecordAsync(project, "Hat", PieceStep.Delivered, 5, s_day);
        string within = await DeliveredAsync(visitor, "/drives/warm-hats");
        clock.Advance(TimeSpan.FromSeconds(61));
        string after = await DeliveredAsync(visitor, "/drives/warm-hats");
        await room.Guild.PublishAsync(project, null);
        clock.Advance(TimeSpan.FromSeconds(61));
        using HttpResponseMessage gone = await visitor.GetAsync("/drives/warm-hats");

        Assert.Equal(["12 of 75 delivered", "12 of 75 delivered", "17 of 75 delivered"], [first, within, after]);
        Assert.Equal(HttpStatusCode.NotFound, gone.StatusCode);
    }

    [Fact]
    public async Task Open_WhenAskedTooOften_IsHeldBackWhileTheGuildWorks()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor inside = await room.SignInAsync("volunteer@example.org");
        using Visitor visitor = room.Visit();
        for (int time = 1; time <= RateLimits.LooksPerMinute; time++)
        {
            using HttpResponseMessage ignored = await visitor.GetAsync("/drives/none");
        }

        using HttpResponseMessage held = await visitor.GetAsync("/drives/none");
        using HttpResponseMessage working = await inside.GetAsync("/intake");

        Assert.Equal((HttpStatusCode.TooManyRequests, HttpStatusCode.OK), (held.StatusCode, working.StatusCode));
    }

    /// <summary>60 hats and 15 scarves are wanted; people with names that are easy to find have made some of them.</summary>
    private static async Task<Guid> DriveAsync(WebRoom room)
    {
        await room.Guild.AddPersonAsync("Zsófia Qwxyz", "qwxyz@example.org", Role.Coordinator);
        LoggedGift gift = await room.Guild.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Guild.Volunteer, new GiftInput
        {
            DonorName = "Dagný Vwxq",
            DonorContact = "vwxq@example.org",
            Bags = [new BagInput(5000, 0, [])],
        }, Cancellation));
        await room.Guild.LotAsync(gift.Bags[0].Id, 400);
        Guid project = await room.Guild.DoAsync<CreateProject, Guid>(u => u.RunAsync(room.Guild.Coordinator, new ProjectInput
        {
            Name = "Warm hats",
            Recipient = "Quayside Shelter",
            Description = "Zsófia's own words",
            Deadline = DateOnly.FromDateTime(DateTime.UtcNow).AddDays(30),
            Rules = RecipientRules.WashableOnly | RecipientRules.InfantOrHospital,
            Pieces = [new PieceInput("Hat", 60, "ask Ødegård"), new PieceInput("Scarf", 15, "")],
        }, Cancellation));
        await using GuildDbContext db = room.Guild.Look();
        await db.Database.ExecuteSqlAsync($"update guild set address = '3 Wharf Lane'", Cancellation);
        await room.Guild.RecordAsync(project, "Hat", PieceStep.Started, 50, s_day, note: "note of Þórunn");
        await room.Guild.RecordAsync(project, "Hat", PieceStep.Finished, 30, s_day, note: "note of Þórunn");
        await room.Guild.RecordAsync(project, "Hat", PieceStep.Delivered, 12, s_day, note: "note of Þórunn");
        await room.Guild.RecordAsync(project, "Scarf", PieceStep.Finished, 20, s_day);
        return project;
    }

    private static async Task<string> DeliveredAsync(Visitor visitor, string path) => (await visitor.OpenAsync(path)).QuerySelector(".whole b")!.TextContent;

    private static string Words(IElement element) => string.Join(' ', element.TextContent.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));
}
