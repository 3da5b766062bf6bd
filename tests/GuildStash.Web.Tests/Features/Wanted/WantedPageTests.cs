using AngleSharp.Dom;
using Bunit;
using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Features.Wanted;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace GuildStash.Web.Tests.Features.Wanted;

/// <summary>The page of the wanted yarn, as members and coordinators work with it.</summary>
public sealed class WantedPageTests(PostgresFixture postgres) : DeskPages
{
    private readonly FakeTimeProvider _clock = new(DateTimeOffset.UtcNow);

    [Fact]
    public async Task Show_WhenNothingWasReckoned_SaysWhoDoesItAndWhichPiecesHaveNoYarn()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await ProjectAsync(room);
        IRenderedComponent<WantedPage> page = Show(room, room.Member);

        Says(page, ".empty h2", "Nothing was reckoned yet");
        Says(page, ".unsaid", "60 × Hat, Warm hats");
        Assert.DoesNotContain(page.FindAll("button"), b => Words([b]) == "Reckon anew");
    }

    [Fact]
    public async Task Show_WhenNothingIsLacking_SaysSo()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await room.Guild.WantAsync(_clock.GetUtcNow().AddDays(-40));
        IRenderedComponent<WantedPage> page = Show(room, room.Member);

        Says(page, ".empty h2", "Nothing is lacking");
        Says(page, $"As of {Display.Date(_clock.GetUtcNow().AddDays(-40))}, all that open projects want");
        Assert.Contains(", 40 days ago", Words(page.FindAll(".sub")), StringComparison.Ordinal);
        Assert.Empty(page.FindAll("a[href*=poster]"));
        Says(page, "p.no-poster", "There is no poster to print, since there is nothing to ask for.");
    }

    [Fact]
    public async Task Show_WhenProjectsHaveAPublicName_LinksTheirOpenPages()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await ProjectAsync(room);
        await room.Guild.DoAsync<CreateProject, Guid>(u => u.RunAsync(room.Coordinator, new ProjectInput { Name = "Caps", PublicName = "caps" }, GuildRoom.Cancellation));
        Guid closed = await room.Guild.DoAsync<CreateProject, Guid>(u => u.RunAsync(room.Coordinator, new ProjectInput { Name = "Old", PublicName = "old-one" }, GuildRoom.Cancellation));
        await room.Guild.DoAsync<CloseProject, bool>(u => u.RunAsync(room.Coordinator, closed, true, GuildRoom.Cancellation));
        IRenderedComponent<WantedPage> page = Show(room, room.Member);

        page.WaitForElement("a[href^='/drives/']", RoomPages.Patience);
        Assert.Equal([("/drives/caps", "Caps")], page.FindAll("a[href^='/drives/']").Select(a => (a.GetAttribute("href")!, a.TextContent)));
    }

    [Fact]
    public async Task Reckon_WhenACoordinatorAsks_FollowsThePlanUntilItEnds()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await WithPieceAsync(room, await ProjectAsync(room));
        IRenderedComponent<WantedPage> page = Show(room, room.Coordinator);
        await PressAsync(page, "Reckon anew");
        Says(page, "p[role=status]", "The reckoning waits for its turn. The page follows by itself.");
        Plan asked = await room.AskAsync(db => db.Plans.SingleAsync(GuildRoom.Cancellation));
        Assert.Equal((PlanPurpose.Wanted, PlanState.Waiting), (asked.Purpose, asked.State));
        Assert.True(page.FindAll("button").Single(b => Words([b]) == "Reckon anew").HasAttribute("disabled"));

        await room.Guild.EndPlansAsync();
        await room.Guild.WantAsync(_clock.GetUtcNow(), new Lack("dk", "blue", 1200, "Hat", 12));
        page.WaitForAssertion(() =>
        {
            _clock.Advance(TimeSpan.FromSeconds(2));
            Assert.Contains("12 × Hat", Words(page.FindAll("tbody")), StringComparison.Ordinal);
        }, RoomPages.Patience);
        Assert.False(page.FindAll("button").Single(b => Words([b]) == "Reckon anew").HasAttribute("disabled"));
        Assert.Contains("ended before it was done", Words(page.FindAll(".note")), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Reckon_WhenNothingCanBePlanned_SaysWhyBesideTheButton()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await ProjectAsync(room);
        IRenderedComponent<WantedPage> page = Show(room, room.Coordinator);
        await PressAsync(page, "Reckon anew");

        Says(page, "Nobody has said what yarn \"Hat\" of Warm hats takes");
    }

    [Fact]
    public async Task Text_WhenCopied_IsPlainAndNamesNoProjectOfMembersAlone()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid hats = await ProjectAsync(room);
        Guid caps = await room.ProjectAsync("Caps", Domain.Projects.RecipientRules.NoWool);
        await room.Guild.PublishAsync(hats, "warm-hats");
        await room.OwnerSqlAsync($"update guild set address = '3 Wharf Lane', wanted_is_public = true");
        await room.Guild.WantAsync(_clock.GetUtcNow(), new Lack("dk", "blue", 1200, "Hat", 12, hats, "Warm hats"), new Lack("dk worsted aran", null, 640, "Cap", 8, caps, "Caps", Mg: null));
        Ui.JSInterop.Setup<bool>("guildStash.copy", _ => true).SetResult(true);
        IRenderedComponent<WantedPage> page = Show(room, room.Member);
        page.WaitForElement("textarea", RoomPages.Patience);
        string text = page.Find("textarea").TextContent;

        Assert.Equal(
            $"""
            Harbour Yarn Guild: yarn wanted

            - DK, Blue: about 1,312 yd, 100 g, for 12 × Hat (Warm hats)
            - DK, Worsted or Aran, any colour: about 700 yd, for 8 × Cap

            Clean and dry yarn, please, with its band where there is one. Tell us if it met smoke, pets, scent or mothballs; yarn with moths or mould can't be taken.
            Some of the recipients: No wool.

            Bring it to:
            Harbour Yarn Guild
            3 Wharf Lane

            As of {Spaces.Plain(Display.Date(_clock.GetUtcNow()))}. What is wanted now: https://room.example.org/wanted/open
            """.ReplaceLineEndings("\n"), text);
        await PressAsync(page, "Copy the text");
        Says(page, ".good", "Copied. Paste it where it is read.");
        Assert.Equal(text, Ui.JSInterop.Invocations["guildStash.copy"].Single().Arguments[0]);
    }

    [Fact]
    public void Say_WhenInAnotherLanguage_AllButNamesAreLocalised()
    {
        Read(PseudoLanguage.CultureName);
        Use(LengthUnit.Metres);
        WantedLine[] lines =
        [
            new([Domain.WeightClasses.WeightClass.Dk, Domain.WeightClasses.WeightClass.Aran], Domain.Colours.ColourFamily.Blue, 1200, 420_000, [new("Hat", 12, "Warm hats", null, "warm-hats")]),
            new([], null, 60, null, [new("Shawl", 1, null, null, null)]),
        ];

        Assert.Empty(UntranslatedText.Find(Ui.Render<WantedTable>(p => p.Add(t => t.Lines, lines)).Markup));
    }

    private IRenderedComponent<WantedPage> Show(DeskRoom room, Guid person)
    {
        Ui.UseRoom(room.Guild);
        Ui.Services.AddSingleton(new AppSettings("", "https://room.example.org"));
        Ui.Services.AddScoped<PublicAddress>();
        Ui.Services.AddSingleton<TimeProvider>(_clock);
        Person.SignIn(person, person == room.Coordinator ? "coordinator" : "member");
        Person.SetPolicies(person == room.Coordinator ? [Policies.Volunteer, Policies.Coordinator] : []);
        Use(LengthUnit.Yards);
        return Open<WantedPage>("/wanted");
    }

    private static Task<Guid> ProjectAsync(DeskRoom room) => room.Guild.DoAsync<CreateProject, Guid>(
        u => u.RunAsync(room.Coordinator, new ProjectInput { Name = "Warm hats", Pieces = [new PieceInput("Hat", 60, "")] }, GuildRoom.Cancellation));

    /// <summary>Says what yarn the project's hats take.</summary>
    private static async Task WithPieceAsync(DeskRoom room, Guid project)
    {
        await using Data.GuildDbContext db = room.Guild.Look();
        Piece piece = new() { Name = "Hat", CreatedAt = DateTimeOffset.UtcNow, CreatedById = room.Coordinator, ChangedAt = DateTimeOffset.UtcNow, ChangedById = room.Coordinator };
        piece.Parts.Add(new PiecePart { Name = "Body", MetresLow = 100, MetresLikely = 100, MetresSafe = 100, WeightClasses = [Domain.WeightClasses.WeightClass.Dk] });
        db.Pieces.Add(piece);
        await db.SaveChangesAsync(GuildRoom.Cancellation);
        await room.OwnerSqlAsync($"update wanted_piece set piece_id = {piece.Id} where project_id = {project}");
    }
}
