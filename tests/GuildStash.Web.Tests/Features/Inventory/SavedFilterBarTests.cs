using Bunit;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Inventory;

public sealed class SavedFilterBarTests(PostgresFixture postgres) : DeskPages
{
    private static readonly LotFilterAddress Blue = new() { Class = "dk", Colour = "blue" };

    [Fact]
    public async Task Save_WhenFiltersAreSet_TakesThemUnderTheNameGivenAndOpensThemHere()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);
        IRenderedComponent<SavedFilterBar> bar = Show(Blue);

        await PressAsync(bar, "Save these filters");
        Assert.Equal("DK, Blue", bar.Find("#filter-name").GetAttribute("value"));
        await bar.OnAsync("#filter-name", name => name.Change("Hats for Tom"));
        await bar.OnAsync("form", form => form.Submit());

        Says(bar, "[role=status]", "“Hats for Tom” is saved.");
        Assert.Equal("/inventory?class=dk&colour=blue&view=table", bar.Find("a.chip").GetAttribute("href"));
        Assert.Equal("true", bar.Find("a.chip").GetAttribute("aria-current"));
        Assert.Equal(["Rename Hats for Tom", "Delete Hats for Tom"], bar.FindAll("button").Select(b => Words([b])));
    }

    [Fact]
    public async Task Save_WhenALengthIsAskedFor_SuggestsANameWithOrdinarySpaces()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);
        IRenderedComponent<SavedFilterBar> bar = Show(new() { Class = "dk", Metres = "182.88" });

        await PressAsync(bar, "Save these filters");

        Assert.Equal("at least 200 yd, DK", string.Join(", ", bar.Find("#filter-name").GetAttribute("value")!.Split(", ").Order()));
    }

    [Fact]
    public async Task Save_WhenTheNameIsTaken_SaysItAtTheFieldAndKeepsWhatWasTyped()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);
        await KeepAsync(room, "Blues", new LotFilterAddress { Colour = "blue" });
        IRenderedComponent<SavedFilterBar> bar = Show(Blue);

        await PressAsync(bar, "Save these filters");
        await bar.OnAsync("#filter-name", name => name.Change("blues"));
        await bar.OnAsync("form", form => form.Submit());

        Says(bar, "#filter-name-error", "You have a saved filter “Blues” already. Choose another name.");
        Assert.Equal("blues", bar.Find("#filter-name").GetAttribute("value"));
        Assert.Equal("true", bar.Find("#filter-name").GetAttribute("aria-invalid"));
    }

    [Fact]
    public async Task Rename_WhenOpen_ChangesTheNameAlone()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);
        await KeepAsync(room, "Blues", Blue);
        IRenderedComponent<SavedFilterBar> bar = Show(Blue);

        await PressAsync(bar, "Rename Blues");
        Assert.Equal("Blues", bar.Find("#filter-name").GetAttribute("value"));
        await bar.OnAsync("#filter-name", name => name.Change("DK in blue"));
        await bar.OnAsync("form", form => form.Submit());

        Says(bar, "a.chip", "DK in blue");
        Assert.Equal("/inventory?class=dk&colour=blue&view=table", bar.Find("a.chip").GetAttribute("href"));
    }

    [Fact]
    public async Task Delete_WhenUndone_IsBack()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);
        await KeepAsync(room, "Blues", Blue);
        IRenderedComponent<SavedFilterBar> bar = Show(Blue);

        await PressAsync(bar, "Delete Blues");
        Says(bar, "[role=status]", "“Blues” is deleted.");
        Says(bar, "a.chip", "");
        await PressAsync(bar, "Undo");

        Says(bar, "[role=status]", "“Blues” is back.");
        Says(bar, "a.chip", "Blues");
    }

    [Fact]
    public async Task Open_WhenTheWallDoesNotKnowTheState_LeadsToTheList()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);
        await KeepAsync(room, "A", Blue with { Status = "available" });
        await KeepAsync(room, "B", Blue with { Status = "quarantined" });
        await KeepAsync(room, "C", Blue with { Status = "reserved" });
        IRenderedComponent<SavedFilterBar> bar = Show(Blue);

        Says(bar, "a.chip", "A B C");
        Assert.Equal(
            ["/inventory?class=dk&colour=blue&view=table", "/inventory?class=dk&colour=blue&status=quarantined&view=table", "/inventory/lots?class=dk&colour=blue&status=reserved"],
            bar.FindAll("a.chip").Select(chip => chip.GetAttribute("href")));
        Assert.Equal("A", bar.Find("[aria-current]").TextContent);
        Assert.Equal(2, bar.FindAll("button").Count);
    }

    [Fact]
    public async Task Show_WhenNothingIsSavedAndNoFilterSet_IsNotThere()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);

        Assert.Equal("", Show(new LotFilterAddress()).Markup.Trim());
    }

    [Fact]
    public async Task Show_WhenInThePseudoLanguage_NothingStaysInEnglish()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);
        await KeepAsync(room, "Blues", Blue);
        Read(PseudoLanguage.CultureName);
        IRenderedComponent<SavedFilterBar> bar = Show(Blue);
        bar.WaitForElement("button", RoomPages.Patience);
        string html = bar.Markup;
        await bar.InvokeAsync(() => bar.Find("button").Click());
        bar.WaitForElement("form", RoomPages.Patience);

        Assert.Empty(UntranslatedText.Find(html + bar.Markup));
    }

    private IRenderedComponent<SavedFilterBar> Show(LotFilterAddress address) => Ui.Render<SavedFilterBar>(p => p
        .Add(c => c.Address, address).Add(c => c.Path, "/inventory").Add(c => c.Keep, [("view", "table")]).Add(c => c.PartsOnly, true));

    private static Task<SavedFilterView> KeepAsync(DeskRoom room, string name, LotFilterAddress filters) =>
        room.Guild.DoAsync<SaveFilter, SavedFilterView>(u => u.RunAsync(room.Member, name, filters, GuildRoom.Cancellation));
}
