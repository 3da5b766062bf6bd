using Bunit;
using GuildStash.Data;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Storage;
using Xunit;
using static GuildStash.Web.Tests.Features.Kits.KitRoom;

namespace GuildStash.Web.Tests.Features.Kits;

/// <summary>The list of kits, and the page of what finished pieces really took; nothing in the room is changed.</summary>
public sealed class KitsPageTests(KitListRoom shared) : DeskPages, IClassFixture<KitListRoom>
{
    private readonly KitRoom _room = shared.Room;

    [Fact]
    public void List_WhenNothingIsChosen_ShowsWhatIsToPackWithItsStanding()
    {
        Enter(_room.Desk, _room.Desk.Volunteer);
        IRenderedComponent<KitsPage> page = Open<KitsPage>("/kits");

        Says(page, "tbody tr", $"{shared.ToPack.Number} 2 × HatWinter hats 1 of 2 weighed, 120 g nobody yet To pack");
        Says(page, "nav.filters a", "To pack 1 Packed 1 At a member's home 0 Done 0 Put back 0");
        Says(page, "nav.filters a[aria-current=page]", "To pack 1");
        Assert.Equal($"/kits/{shared.ToPack.Number}", page.Find("tbody a").GetAttribute("href"));
        Assert.Contains($"kits={shared.ToPack.Number}&", page.Find(".kit-papers a").GetAttribute("href"), StringComparison.Ordinal);

        // What nobody knows is no state.
        Navigation.NavigateTo("/kits?state=lost");
        Says(page, "nav.filters a[aria-current=page]", "To pack 1");
        Navigation.NavigateTo("/kits?state=packed");
        Says(page, "tbody tr", $"{shared.Packed.Number} 1 × HatWinter hats 1 of 1 weighed, 60 g Mia Member Packed");
        Navigation.NavigateTo("/kits?state=put-back");
        Says(page, ".empty h2", "No kit here");
        Assert.Equal("/kits/new", page.Find(".empty a").GetAttribute("href"));
        Assert.Empty(page.FindAll(".kit-papers"));
    }

    [Fact]
    public async Task Find_WhenWordsAreTyped_KeepsTheStateAndBeginsAtTheFirstPage()
    {
        Enter(_room.Desk, _room.Desk.Volunteer);
        IRenderedComponent<KitsPage> page = Open<KitsPage>("/kits?state=packed&page=2");
        page.WaitForElement("table", RoomPages.Patience);

        await page.OnAsync("form.search input", e => e.Change(" mia "));
        await page.OnAsync("form.search", e => e.Submit());
        Assert.EndsWith("/kits?state=packed&q=mia", Navigation.Uri, StringComparison.Ordinal);
        Says(page, "tbody .first", shared.Packed.Number);
        Says(page, "nav.filters a", "To pack 0 Packed 1 At a member's home 0 Done 0 Put back 0");

        await page.OnAsync("form.search input", e => e.Change("scarf"));
        await page.OnAsync("form.search", e => e.Submit());
        Says(page, ".empty h2", "Nothing found");
        Assert.Equal("/kits", page.Find(".empty a").GetAttribute("href"));
        await page.OnAsync("form.search input", e => e.Change(""));
        await page.OnAsync("form.search", e => e.Submit());
        Assert.EndsWith("/kits?state=packed", Navigation.Uri, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Type_WhileThePageIsStillRead_IsNotLost()
    {
        Enter(_room.Desk, _room.Desk.Volunteer);
        await using GuildDbContext db = _room.Desk.Guild.Look();
        await using IDbContextTransaction held = await db.Database.BeginTransactionAsync(GuildRoom.Cancellation);
        await db.Database.ExecuteSqlAsync($"lock table project in access exclusive mode", GuildRoom.Cancellation);
        IRenderedComponent<KitsPage> page = Open<KitsPage>("/kits?state=packed");

        await page.OnAsync("form.search input", e => e.Change("mia"));
        Assert.Empty(page.FindAll("table"));
        await held.RollbackAsync(GuildRoom.Cancellation);

        page.WaitForElement("table", RoomPages.Patience);
        Assert.Equal("mia", page.Find("form.search input").GetAttribute("value"));
        await page.OnAsync("form.search", e => e.Submit());
        Assert.EndsWith("/kits?state=packed&q=mia", Navigation.Uri, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Choose_WhenAProjectIsTaken_NarrowsTheListAndTheYarnToFetch()
    {
        Enter(_room.Desk, _room.Desk.Volunteer);
        IRenderedComponent<KitsPage> page = Open<KitsPage>("/kits");
        page.WaitForElement($"option[value='{shared.Other}']", RoomPages.Patience);
        Assert.Equal("/kits/pick", page.Find(".head .actions a").GetAttribute("href"));

        await page.OnAsync("form.search select", e => e.Change(shared.Other.ToString()));
        Assert.EndsWith($"/kits?project={shared.Other}", Navigation.Uri, StringComparison.Ordinal);
        Says(page, ".empty h2", "Nothing found");
        Assert.Equal($"/kits/pick?project={shared.Other}", page.Find(".head .actions a").GetAttribute("href"));
        await page.OnAsync("form.search select", e => e.Change(_room.Project.ToString()));
        Says(page, "tbody .first", shared.ToPack.Number);
        await page.OnAsync("form.search select", e => e.Change(""));
        Assert.EndsWith("/kits", Navigation.Uri, StringComparison.Ordinal);
    }

    [Fact]
    public void OwnPiece_WhenItIsInTheBook_BearsItsNameAndElseSaysThatThereIsNone()
    {
        Enter(_room.Desk, _room.Desk.Member);
        IRenderedComponent<OwnPiecePage> known = Piece(_room.Piece);
        Says(known, "h1", "What they really took: Hat");
        Says(known, "Nothing was measured yet.");

        IRenderedComponent<OwnPiecePage> unknown = Piece(Guid.CreateVersion7());
        Says(unknown, "h1", "There is no such piece");
        Assert.Equal("/projects", unknown.Find(".empty a").GetAttribute("href"));
    }

    private IRenderedComponent<OwnPiecePage> Piece(Guid id) => Open<OwnPiecePage>($"/kits/pieces/{id}", p => p.Add(c => c.PieceId, id));
}

/// <summary>A room with a kit of two lots that is half weighed, one that is packed for a member, and a project without kits.</summary>
public sealed class KitListRoom(PostgresFixture postgres) : IAsyncLifetime
{
    public KitRoom Room { get; private set; } = null!;

    public KitView ToPack { get; private set; } = null!;

    public KitView Packed { get; private set; } = null!;

    /// <summary>The project without kits.</summary>
    public Guid Other { get; private set; }

    public async ValueTask InitializeAsync()
    {
        Room = await KitRoom.OpenAsync(postgres);
        await Room.BookAsync();
        Other = await Room.Desk.ProjectAsync("Scarves");
        (LotView blue, LotView red) = (await Room.Desk.LotAsync(300), await Room.Desk.LotAsync(150));
        ToPack = await Room.KitAsync([(blue, 80), (red, 40)], pieces: 2);
        Ok(await Room.WeighAsync(ToPack.Lines[0], 80));
        Packed = await Room.KitAsync([(blue, 60)], member: Room.Desk.Member);
        Ok(await Room.WeighAsync(Packed.Lines[0], 60));
    }

    public ValueTask DisposeAsync() => Room.DisposeAsync();
}
