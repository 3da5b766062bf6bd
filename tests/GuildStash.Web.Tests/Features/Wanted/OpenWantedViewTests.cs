using Bunit;
using GuildStash.Data.Guild;
using GuildStash.Domain.Projects;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Wanted;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Support;
using Microsoft.AspNetCore.Http;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace GuildStash.Web.Tests.Features.Wanted;

/// <summary>The list of wanted yarn as somebody sees it who is not signed in.</summary>
public sealed class OpenWantedViewTests(PostgresFixture postgres) : DeskPages
{
    private readonly DefaultHttpContext _http = new();
    private readonly FakeTimeProvider _clock = new(DateTimeOffset.UtcNow);

    [Fact]
    public async Task Show_WhenTheGuildKeepsItToItsMembers_SaysSoAndLeadsToSigningIn()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await room.Guild.WantAsync(null, new Lack("dk", "blue", 1200, "Hat", 12));
        IRenderedComponent<OpenWantedPage> page = await ShowAsync(room, isPublic: false);

        // The words may stand there from the first drawing on, which nobody is sent.
        page.WaitForAssertion(() => Assert.Equal([StatusCodes.Status404NotFound], _http.Items.Values.Cast<int>()), RoomPages.Patience);
        Says(page, "h1", "This is not shown here");
        Assert.Equal("/account/sign-in?returnUrl=%2Fwanted", page.Find("a.btn").GetAttribute("href"));
        Assert.DoesNotContain("Hat", page.Markup, StringComparison.Ordinal);
        Assert.Empty(page.FindAll("table, section"));
    }

    [Fact]
    public async Task Show_WhenNothingWasReckonedOrIsLacking_SaysWhichAndWhereToAsk()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        IRenderedComponent<OpenWantedPage> never = await ShowAsync(room, isPublic: true);
        Says(never, ".empty h2", "Nothing is listed yet");
        Says(never, ".sub", "Harbour Yarn Guild");
        Says(never, "section[aria-labelledby=where] p", "Ask the guild where yarn is taken.");
        Assert.Empty(never.FindAll("#taken"));
        Assert.Empty(_http.Items);

        DateTimeOffset at = _clock.GetUtcNow().AddDays(-40);
        await room.Guild.WantAsync(at);
        await room.OwnerSqlAsync($"update guild set address = '3 Wharf Lane'");
        _clock.Advance(TimeSpan.FromSeconds(61));
        IRenderedComponent<OpenWantedPage> page = Show();
        Says(page, ".empty h2", "Nothing is lacking");
        Says(page, ".sub", $"Harbour Yarn Guild · as of {Display.Date(at)}");
        Assert.EndsWith("3 Wharf Lane", Words(page.FindAll(".address")), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Show_WhenRecipientsHaveRules_TellsThemWithoutNamesOfProjectsForMembersAlone()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid hats = await room.ProjectAsync("Warm hats", RecipientRules.WashableOnly);
        Guid caps = await room.ProjectAsync("Caps", RecipientRules.NoWool);
        await room.Guild.PublishAsync(hats, "warm-hats");
        await room.Guild.WantAsync(_clock.GetUtcNow(), new Lack("dk", "blue", 1200, "Hat", 12, hats, "Warm hats"), new Lack("aran", null, 640, "Cap", 8, caps, "Caps"));
        IRenderedComponent<OpenWantedPage> page = await ShowAsync(room, isPublic: true);

        Says(page, "section[aria-labelledby=taken] li", "Warm hats: Machine-washable only Some of the recipients: No wool");
        Says(page, "tbody td.for", "12 × Hat, Warm hats 8 × Cap");
        Assert.Empty(page.FindAll(".empty"));
        Read(PseudoLanguage.CultureName);
        Assert.Empty(UntranslatedText.Find(Show().Markup));
    }

    /// <summary>The page, where the guild has chosen who sees the list.</summary>
    private async Task<IRenderedComponent<OpenWantedPage>> ShowAsync(DeskRoom room, bool isPublic)
    {
        Ui.UseRoom(room.Guild);
        Ui.Services.AddSingleton<TimeProvider>(_clock);
        Ui.Services.AddSingleton<OpenWanted>();
        Use(Domain.People.LengthUnit.Yards);
        GuildSettings guild = await room.AskAsync(db => db.Guilds.AsNoTracking().SingleAsync(GuildRoom.Cancellation));
        guild.WantedIsPublic = isPublic;
        Ui.Services.GetRequiredService<GuildDefaults>().Set(guild);
        return Show();
    }

    private IRenderedComponent<OpenWantedPage> Show() => Open<OpenWantedPage>("/wanted/open", p => p.AddCascadingValue<HttpContext>(_http));
}
