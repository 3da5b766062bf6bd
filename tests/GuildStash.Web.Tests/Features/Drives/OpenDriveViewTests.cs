using Bunit;
using GuildStash.Domain.Projects;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Drives;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Support;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;
using Xunit;

namespace GuildStash.Web.Tests.Features.Drives;

/// <summary>What a drive's page says by where the drive stands, to somebody who is not signed in; nothing in the room is changed.</summary>
public sealed class OpenDriveViewTests : DeskPages, IClassFixture<DrivesRoom>
{
    public OpenDriveViewTests(DrivesRoom shared)
    {
        Ui.UseRoom(shared.Desk.Guild);
        Ui.Services.AddSingleton<OpenDrives>();
    }

    [Theory]
    [InlineData("ended", "ended", "This drive has ended. The guild thanks everybody who helped; ask it what is wanted now.", false)]
    [InlineData("late", "was due {0}", "Make one of the pieces that are still to be made, or give yarn for them.", true)]
    [InlineData("open", "by {1}", "Make one of the pieces that are still to be made, or give yarn for them.", true)]
    [InlineData("made", "no deadline", "All that was wanted is made. Ask the guild before you begin more.", true)]
    [InlineData("empty", "no deadline", "No pieces are listed yet. Ask the guild what is wanted.", true)]
    public void Tell_WhereADriveStands_SaysUntilWhenAndHowToHelp(string name, string until, string help, bool tellsWhere)
    {
        IRenderedComponent<DrivePage> page = Show(name, out DefaultHttpContext http);

        Says(page, ".sub", $"Harbour Yarn Guild · for Quayside Shelter · {string.Format(null, until, Display.Date(DrivesRoom.Today.AddDays(-3)), Display.Date(DrivesRoom.Today.AddDays(30)))}");
        string told = Words(page.FindAll("section[aria-labelledby=help]"));
        Assert.Contains(help, told, StringComparison.Ordinal);
        Assert.Equal(tellsWhere, told.Contains("Ask the guild where finished pieces and yarn are taken.", StringComparison.Ordinal));
        Assert.Empty(http.Items);
    }

    [Fact]
    public void Tell_WhenMoreIsMadeThanWanted_NoKindMakesUpForAnother()
    {
        IRenderedComponent<DrivePage> page = Show("late", out _);

        // Of 10 hats 14 are delivered, of 10 scarves 2 are in hand: half of the strand is solid, a tenth is dashes.
        Says(page, ".whole", "14 of 20 delivered, 2 in hand, 8 still to be made");
        Assert.Equal(["50%", "60%"], page.FindAll("section > svg line.delivered, section > svg line.in-hand").Select(l => l.GetAttribute("x2")).Order());
        Assert.Equal(["100%"], page.FindAll("tbody tr:first-child line.delivered").Select(l => l.GetAttribute("x2")));
        Assert.Empty(page.FindAll("tbody tr:first-child line.in-hand"));
        Says(page, "tfoot tr", "In all 20 14 2 8");
    }

    [Fact]
    public void Tell_WhenNoPiecesAreListed_DrawsNothingAndTakesAnyYarn()
    {
        IRenderedComponent<DrivePage> page = Show("empty", out _);

        Says(page, "section[aria-labelledby=progress]", "How far it is No pieces are listed yet.");
        Assert.Contains("Takes any yarn", Words(page.FindAll("section[aria-labelledby=accepts]")), StringComparison.Ordinal);
        Assert.Empty(page.FindAll("svg, table"));
    }

    [Fact]
    public void Tell_WhenThereIsNoSuchDrive_SaysSoAndIsNotFound()
    {
        IRenderedComponent<DrivePage> page = Show("nowhere", out DefaultHttpContext http);

        // The words stand there from the first drawing on, which nobody is sent.
        page.WaitForAssertion(() => Assert.Equal([StatusCodes.Status404NotFound], http.Items.Values.Cast<int>()), RoomPages.Patience);
        Says(page, "h1", "There is no such drive");
        Assert.Empty(page.FindAll("section"));
    }

    [Fact]
    public void Say_WhenInThePseudoLanguage_AllButNamesAreLocalised()
    {
        Read(PseudoLanguage.CultureName);

        foreach (string name in DrivesRoom.Names)
        {
            IRenderedComponent<DrivePage> page = Show(name, out _);
            page.WaitForElement("section", RoomPages.Patience);
            Assert.Empty(UntranslatedText.Find(page.Markup));
        }
    }

    private IRenderedComponent<DrivePage> Show(string name, out DefaultHttpContext http)
    {
        DefaultHttpContext asked = http = new();
        return Open<DrivePage>($"/drives/{name}", p => p.Add(c => c.PublicName, name).AddCascadingValue<HttpContext>(asked));
    }
}

/// <summary>Drives that have ended, are late, go on, have all that they wanted, or list nothing; the guild has no address.</summary>
public sealed class DrivesRoom(PostgresFixture postgres) : IAsyncLifetime
{
    public static readonly DateOnly Today = DateOnly.FromDateTime(DateTime.UtcNow);

    public static readonly IReadOnlyList<string> Names = ["ended", "late", "open", "made", "empty"];

    public DeskRoom Desk { get; private set; } = null!;

    public async ValueTask InitializeAsync()
    {
        Desk = await DeskRoom.OpenAsync(postgres);
        Guid ended = await MakeAsync("ended", Today.AddDays(30), new PieceInput("Hat", 10, ""));
        Guid late = await MakeAsync("late", Today.AddDays(30), new PieceInput("Hat", 10, ""), new PieceInput("Scarf", 10, ""));
        await MakeAsync("open", Today.AddDays(30), new PieceInput("Hat", 10, ""));
        Guid made = await MakeAsync("made", null, new PieceInput("Hat", 10, ""));
        await MakeAsync("empty", null);
        await Desk.OwnerSqlAsync($"update project set deadline = {Today.AddDays(-3)} where id in ({ended}, {late})");
        await Desk.Guild.RecordAsync(late, "Hat", PieceStep.Delivered, 14, Today);
        await Desk.Guild.RecordAsync(late, "Scarf", PieceStep.Finished, 2, Today);
        await Desk.Guild.RecordAsync(late, "Hat", PieceStep.Finished, 14, Today);
        await Desk.Guild.RecordAsync(made, "Hat", PieceStep.Finished, 11, Today);
        await Desk.Guild.DoAsync<CloseProject, bool>(u => u.RunAsync(Desk.Coordinator, ended, close: true, GuildRoom.Cancellation));
    }

    public ValueTask DisposeAsync() => Desk.DisposeAsync();

    private Task<Guid> MakeAsync(string name, DateOnly? deadline, params PieceInput[] pieces) => Desk.Guild.DoAsync<CreateProject, Guid>(u => u.RunAsync(Desk.Coordinator, new ProjectInput
    {
        Name = $"Drive {name}",
        PublicName = name,
        Recipient = "Quayside Shelter",
        Deadline = deadline,
        Rules = name == "late" ? RecipientRules.WashableOnly : RecipientRules.None,
        Pieces = pieces,
    }, GuildRoom.Cancellation));
}
