using AngleSharp.Dom;
using Bunit;
using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Pieces;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Pieces;

/// <summary>The piece book's pages on a real database; the person reads yards and inches.</summary>
public sealed class PiecePagesTests(PostgresFixture postgres) : DeskPages
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Make_WhenReckonedFromASwatch_FillsThePartAndOpensAgainAsEntered()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Volunteer);
        IRenderedComponent<EditPiecePage> page = Open<EditPiecePage>("/pieces/new");
        await page.OnAsync("#name", e => e.Input("Lap rug"));
        await PressAsync(page, "Reckon the length");
        await page.OnAsync("#part-0-reckon-width", e => e.Input("36"));
        await page.OnAsync("#part-0-reckon-height", e => e.Input("40"));
        await page.OnAsync("#part-0-reckon-swatch-width", e => e.Input("4"));
        await page.OnAsync("#part-0-reckon-swatch-height", e => e.Input("4"));
        Says(page, "Say what the swatch took");
        await page.OnAsync("#part-0-reckon-swatch-length", e => e.Input("8"));

        // Computed: 1,440 square inches over 16 are 90 swatches of 8 yd: 720 likely, 684 at least, 792 safe.
        Says(page, "792 yd (725 m) probably 720 yd, at least 684 yd");
        await PressAsync(page, "Use this: 792 yd");
        Assert.Equal(["684", "720", "792"], Values(page, "#part-0-low", "#part-0-likely", "#part-0-safe"));
        await page.OnAsync("#piece", e => e.Submit());
        Says(page, "#part-0-classes-error", "\"Body\" of \"Lap rug\" does not say how thick its yarn must be: give weight classes, or a length to 100 g.");
        await page.OnAsync("input[name=weightClasses][value=worsted]", e => e.Change(true));
        await page.OnAsync("#piece", e => e.Submit());

        page.WaitForAssertion(() => Assert.Matches("/pieces/[0-9a-f-]{36}$", Navigation.Uri), RoomPages.Patience);
        Guid id = Guid.Parse(Navigation.Uri[^36..]);
        IRenderedComponent<PiecePage> read = Open<PiecePage>($"/pieces/{id}", p => p.Add(c => c.Id, id));
        Says(read, "By a swatch of 4 × 4 in that took 8 yd, for 36 × 40 in.");
        IRenderedComponent<EditPiecePage> again = Open<EditPiecePage>($"/pieces/{id}/edit", p => p.Add(c => c.Id, id));
        await PressAsync(again, "Reckon the length");
        again.WaitForElement("#part-0-reckon-width", RoomPages.Patience);
        Assert.Equal(["36", "40", "4", "8"], Values(again, "#part-0-reckon-width", "#part-0-reckon-height", "#part-0-reckon-swatch-width", "#part-0-reckon-swatch-length"));
        await again.OnAsync("#part-0-safe", e => e.Input("800"));
        Says(again, "The maker's own figure.");
    }

    [Fact]
    public async Task Reckon_WhenKnittedOrCrocheted_ShowsWhatEachWayAssumes()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Volunteer);
        IRenderedComponent<EditPiecePage> page = Open<EditPiecePage>("/pieces/new");
        await page.OnAsync("#craft", e => e.Change("Knitted"));
        await PressAsync(page, "Reckon the length");
        await page.OnAsync("#part-0-reckon-from", e => e.Change("head:woman"));
        await page.OnAsync("#part-0-reckon-height", e => e.Input("9"));
        Assert.Equal(["18.9"], Values(page, "#part-0-reckon-width"));
        await page.OnAsync("#part-0-reckon-width", e => e.Input("48"));
        await page.OnAsync("#part-0-reckon-height", e => e.Input("8"));
        await page.OnAsync("#part-0-reckon-stitches", e => e.Input("20"));

        Says(page, "320 yd (293 m) probably 293 yd, at least 266 yd");
        Says(page, "Stocking stitch: hand rule 320 yd (makers' practice), loop length 267 yd dry and 293 yd fully relaxed");
        await page.OnAsync("#part-0-reckon-fabric", e => e.Change("Garter"));
        Says(page, "Times 1.15 to 1.25 for garter stitch (from memory).");
        Assert.DoesNotContain(page.FindAll("#part-0-reckon-fabric option"), option => option.TextContent == "single crochet");

        await page.OnAsync("#part-0-reckon-row", e => e.Change("adult hat class 4"));
        Says(page, "250 yd (229 m) probably 200 yd, at least 150 yd");
        Says(page, "Source: common practice.");
        await page.OnAsync("#part-0-reckon-own-safe", e => e.Input("-3"));
        Says(page, "more than 0 and at most 10,936 yd is allowed");
        await page.OnAsync("#part-0-reckon-own-safe", e => e.Input("200"));
        await PressAsync(page, "Use this: 200 yd");
        Assert.Equal(["", "", "200"], Values(page, "#part-0-low", "#part-0-likely", "#part-0-safe"));
    }

    [Fact]
    public async Task Parts_WhenOneStandsOutFromAnother_FollowsItsNameAndComesBackWhenTakenOut()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Volunteer);
        IRenderedComponent<EditPiecePage> page = Open<EditPiecePage>("/pieces/new");
        await page.OnAsync("#name", e => e.Input("Striped hat"));
        await PressAsync(page, "Add a part");
        foreach (int part in (int[])[0, 1])
        {
            await page.OnAsync($"#part-{part}-safe", e => e.Input("100"));
            await page.InvokeAsync(() => page.FindAll("input[name=weightClasses][value=dk]")[part].Change(true));
        }

        await page.OnAsync("#part-0-colour", e => e.Change("OneFamily"));
        await page.OnAsync("#part-1-colour", e => e.Change("Contrast"));
        await page.OnAsync("#part-1-other", e => e.Change("0"));
        await page.OnAsync("#part-0-name", e => e.Input("Ground"));
        await PressAsync(page, "Take out part 2");
        Says(page, "Taken out: Part 2.");
        await PressAsync(page, "Put it back");
        await page.OnAsync("#piece", e => e.Submit());

        page.WaitForAssertion(() => Assert.Matches("/pieces/[0-9a-f-]{36}$", Navigation.Uri), RoomPages.Patience);
        BookPiece piece = await room.Guild.DoAsync<PieceReader, BookPiece>(u => u.OneAsync(room.Member, Guid.Parse(Navigation.Uri[^36..]), Cancellation));
        Assert.Equal([("Ground", "oneFamily"), ("Part 2", "contrast:Ground")], piece.Parts.Select(p => (p.Name, p.Colour)));
    }

    [Fact]
    public async Task Book_WhenEmpty_OffersCommonPiecesToVolunteersAndRetiresThem()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Volunteer);
        IRenderedComponent<PiecesPage> page = Open<PiecesPage>("/pieces");
        await PressAsync(page, "Begin with common pieces");
        Says(page, "The piece book has 9 common pieces now.");
        IElement infant = page.WaitForElements("tbody tr", 9, RoomPages.Patience).Single(tr => tr.TextContent.Contains("Infant hat", StringComparison.Ordinal));
        Guid id = Guid.Parse(infant.QuerySelector("a")!.GetAttribute("href")![^36..]);

        IRenderedComponent<PiecePage> one = Open<PiecePage>($"/pieces/{id}", p => p.Add(c => c.Id, id));
        Says(one, "No cords or drawstrings at hood, neck or waist");
        Says(one, "The recipient's list and local rules decide.");
        Says(one, "By the size table: baby hat class 4, 30 to 80 yd (common practice).");
        await PressAsync(one, "Retire it");
        Says(one, "This piece is retired: no project chooses it anew.");
        IRenderedComponent<PiecesPage> list = Open<PiecesPage>("/pieces");
        list.WaitForAssertion(() => Assert.Equal(8, list.FindAll("tbody tr").Count), RoomPages.Patience);
        await PressAsync(one, "Bring it back");
        Says(one, "It is in use again.");
    }

    [Fact]
    public async Task Book_WhenAMemberReadsIt_NothingCanBeChanged()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);
        IRenderedComponent<PiecesPage> page = Open<PiecesPage>("/pieces");
        Says(page, "The piece book is empty");
        Assert.Empty(page.FindAll("button"));
        Guid id = await room.Guild.DoAsync<CreatePiece, Guid>(u => u.RunAsync(room.Volunteer, new BookPieceInput { Name = "Hat", Parts = [new() { Name = "Body", MetresSafe = 150, WeightClasses = [WeightClass.Dk] }] }, Cancellation));

        IRenderedComponent<PiecePage> one = Open<PiecePage>($"/pieces/{id}", p => p.Add(c => c.Id, id));
        Says(one, "The maker's own figure.");
        Assert.Equal(["/pieces"], one.FindAll(".actions a").Select(a => a.GetAttribute("href")));
        Assert.Empty(one.FindAll("button"));
    }

    [Fact]
    public async Task Sizes_WhenTheCoordinatorChangesARow_ANewEditionCountsAndTheOldComesBack()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Coordinator);
        IRenderedComponent<EditSizesPage> edit = Open<EditSizesPage>("/pieces/sizes/change");
        await PressAsync(edit, "Add a row");
        int line = edit.FindAll("tbody tr").Count;
        await edit.OnAsync($"#size-{line}-name", e => e.Change("shawl"));
        await edit.OnAsync("#sizes", e => e.Submit());
        Says(edit, "\"shawl\": \"0\" to \"0\" is no range. Both are more than 0");
        await edit.OnAsync($"[aria-label='Line {line} from']", e => e.Input("400"));
        await edit.OnAsync($"[aria-label='Line {line} to']", e => e.Input("600"));
        await edit.OnAsync($"[aria-label='Source of line {line}']", e => e.Change("own, weighed"));
        await edit.OnAsync("#sizes", e => e.Submit());
        edit.WaitForAssertion(() => Assert.EndsWith("/pieces/sizes", Navigation.Uri, StringComparison.Ordinal), RoomPages.Patience);

        IRenderedComponent<SizesPage> read = Open<SizesPage>("/pieces/sizes");
        Says(read, "own, weighed");
        Says(read, "366 to 549 m");
        await PressAsync(read, "Go back to it: the program's own");
        Says(read, "That edition is in force again, as a new one.");
        Assert.DoesNotContain("own, weighed", read.Markup, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Joined_WhenAskedBothWays_CountsAndMeasures()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);
        IRenderedComponent<JoinedBlanket> blanket = Ui.Render<JoinedBlanket>(p => p.Add(c => c.WidthCm, 7 * 2.54).Add(c => c.HeightCm, 9 * 2.54).Add(c => c.SafeMetres, 48 * 0.9144));

        await blanket.OnAsync("#joined-count", e => e.Input("37"));
        await blanket.OnAsync("#joined-wanted-width", e => e.Input("36"));
        await blanket.OnAsync("#joined-wanted-height", e => e.Input("35"));

        Says(blanket, "6 × 6 pieces make 42 × 54 in. 1 are left over. Yarn for all, on the safe side: 1,728 yd.");
        Says(blanket, "It takes 20 pieces, 5 × 4, and becomes 35 × 36 in. Yarn for all, on the safe side: 960 yd.");
    }

    [Fact]
    public async Task Show_WhenThePseudoLanguageIsUsed_EveryTextIsLocalised()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await room.Guild.DoAsync<BeginPieceBook, int>(u => u.RunAsync(room.Volunteer, Cancellation));
        Guid id = (await room.Guild.DoAsync<PieceReader, List<PieceChoice>>(u => u.ChoicesAsync(room.Member, Cancellation))).Single(c => c.Name == "Infant hat").Id;
        Read(GuildStash.Web.Infrastructure.Localisation.PseudoLanguage.CultureName);
        Enter(room, room.Coordinator);

        IRenderedComponent<PiecesPage> list = Open<PiecesPage>("/pieces");
        list.WaitForElement("tbody", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(list.Markup));
        IRenderedComponent<PiecePage> one = Open<PiecePage>($"/pieces/{id}", p => p.Add(c => c.Id, id));
        one.WaitForElement("dl", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(one.Markup));
        IRenderedComponent<EditPiecePage> edit = Open<EditPiecePage>($"/pieces/{id}/edit", p => p.Add(c => c.Id, id));
        await edit.OnAsync(".how button", e => e.Click());
        edit.WaitForElement(".reckon", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(edit.Markup));
        IRenderedComponent<SizesPage> sizes = Open<SizesPage>("/pieces/sizes");
        sizes.WaitForElement("tbody", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(sizes.Markup));
        IRenderedComponent<EditSizesPage> change = Open<EditSizesPage>("/pieces/sizes/change");
        change.WaitForElement("tbody", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(change.Markup));
    }

    private static IEnumerable<string> Values<T>(IRenderedComponent<T> page, params string[] selectors)
        where T : Microsoft.AspNetCore.Components.IComponent => selectors.Select(selector => page.Find(selector).GetAttribute("value") ?? "");
}
