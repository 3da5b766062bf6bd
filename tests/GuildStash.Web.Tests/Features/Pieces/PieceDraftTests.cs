using Bunit;
using GuildStash.Domain.People;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Drafts;
using GuildStash.Web.Features.Pieces;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Pieces;

/// <summary>A half-typed piece outlives the page, on a real database; the browser's part is played by the test.</summary>
public sealed class PieceDraftTests(PostgresFixture postgres) : DeskPages
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Open_WhenAPieceWasHalfTyped_BringsItBackUntilItIsWrittenIntoTheBook()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Volunteer);
        IRenderedComponent<EditPiecePage> page = OpenNew();
        await page.OnAsync("#name", e => e.Input("Striped hat"));
        await page.OnAsync("#minutes", e => e.Input("90"));
        await PressAsync(page, "Add a part");
        await PressAsync(page, "Add a part");
        await page.OnAsync("#part-0-safe", e => e.Input("100.25"));
        await page.OnAsync("#part-0-class-dk", e => e.Change(true));
        await page.OnAsync("#part-0-colour", e => e.Change("OneFamily"));
        await page.OnAsync("#part-1-colour", e => e.Change("Contrast"));
        await page.OnAsync("#part-1-other", e => e.Change("0"));
        await page.OnAsync("#part-1-fibre-WO", e => e.Change(true));
        await page.OnAsync("#part-1-class-dk", e => e.Change(true));
        await PressAsync(page, "Take out part 3");
        await page.InvokeAsync(() => page.FindAll("button").Last(b => b.TextContent == "Reckon the length").Click());
        await page.OnAsync("#part-1-reckon-swatch-length", e => e.Input("8"));
        Assert.True(await PauseAsync(page));

        IRenderedComponent<EditPiecePage> again = OpenNew();
        Says(again, ".draft-note p:first-child", $"Continue your piece from {Time((await KeptAsync(room, DraftKeys.Piece(null, null)))!.SavedAt)}");
        Assert.Equal(["Striped hat", "90", "100.25", "8"], Values(again, "#name", "#minutes", "#part-0-safe", "#part-1-reckon-swatch-length"));
        Assert.True(again.Find("#part-0-class-dk").HasAttribute("checked"));
        Says(again, "Taken out: Part 3.");
        await PressAsync(again, "Keep it and go on");
        await again.OnAsync("#part-0-name", e => e.Input("Ground"));
        await again.OnAsync("#part-1-safe", e => e.Input("50"));
        await again.OnAsync("#piece", e => e.Submit());

        again.WaitForAssertion(() => Assert.Matches("/pieces/[0-9a-f-]{36}$", Navigation.Uri), RoomPages.Patience);
        BookPiece piece = await PieceAsync(room, Guid.Parse(Navigation.Uri[^36..]));
        Assert.Equal([("Ground", "oneFamily", 0), ("Part 2", "contrast:Ground", 1)], piece.Parts.Select(p => (p.Name, p.Colour, p.OnlyFibres.Count)));
        Assert.Null(await KeptAsync(room, DraftKeys.Piece(null, null)));
    }

    [Fact]
    public async Task Save_WhenRefused_KeepsTheDraftAndStartAfreshThrowsItAway()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Volunteer);
        IRenderedComponent<EditPiecePage> page = OpenNew();
        Assert.True(await PauseAsync(page));
        Assert.Null(await KeptAsync(room, DraftKeys.Piece(null, null)));
        await page.OnAsync("#notes", e => e.Input("Fold the brim"));
        Assert.True(await PauseAsync(page));
        await page.OnAsync("#piece", e => e.Submit());
        page.WaitForElement("#name-error", RoomPages.Patience);
        Assert.NotNull(await KeptAsync(room, DraftKeys.Piece(null, null)));

        IRenderedComponent<EditPiecePage> again = OpenNew();
        await PressAsync(again, "Throw it away and start afresh");
        again.WaitForAssertion(() => Assert.Empty(again.FindAll(".draft-note")), RoomPages.Patience);
        again.WaitForAssertion(() => Assert.Equal(["", "Body"], Values(again, "#notes", "#part-0-name")), RoomPages.Patience);
        Assert.Null(await KeptAsync(room, DraftKeys.Piece(null, null)));
    }

    [Fact]
    public async Task Open_WhenSomebodyChangedThePieceMeanwhile_SaysSoBeforeTheirsIsReplaced()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BookPieceInput hat = new() { Name = "Hat", Parts = [new() { Name = "Body", MetresSafe = 150, WeightClasses = [WeightClass.Dk] }] };
        Guid id = await room.Guild.DoAsync<CreatePiece, Guid>(u => u.RunAsync(room.Volunteer, hat, Cancellation));
        Enter(room, room.Volunteer);
        IRenderedComponent<EditPiecePage> page = OpenOf(id);
        Assert.Empty(page.FindAll(".note"));
        await page.OnAsync("#name", e => e.Input("Warm hat"));
        Assert.True(await PauseAsync(page));
        int version = (await PieceAsync(room, id)).Version;
        await room.Guild.DoAsync<EditPiece, bool>(u => u.RunAsync(room.Coordinator, id, version, hat with { Notes = "Theirs" }, Cancellation));
        await page.OnAsync("#piece", e => e.Submit());
        Says(page, "Somebody else changed this piece meanwhile.");

        IRenderedComponent<EditPiecePage> again = OpenOf(id);
        Says(again, "Somebody else changed this piece after you began. Saving puts what stands here in place of theirs");
        await again.OnAsync("#piece", e => e.Submit());
        again.WaitForAssertion(() => Assert.EndsWith($"/pieces/{id}", Navigation.Uri, StringComparison.Ordinal), RoomPages.Patience);
        BookPiece saved = await PieceAsync(room, id);
        Assert.Equal(("Warm hat", "", 150), (saved.Name, saved.Notes, saved.Parts[0].MetresSafe));
        Assert.Null(await KeptAsync(room, DraftKeys.Piece(id, null)));
    }

    [Fact]
    public async Task Open_WhenOnlyTheBrowserHeardTheKeystrokes_AsksItToTellThem()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Volunteer);
        Guid request = Guid.CreateVersion7();
        Ui.JSInterop.Setup<BrowserCopy?>("guildStashDrafts.open", _ => true).SetResult(new BrowserCopy(request.ToString(), DateTimeOffset.UtcNow.ToUnixTimeMilliseconds()));

        IRenderedComponent<EditPiecePage> page = OpenNew();

        Says(page, "Continue your piece from");
        Assert.Equal(true, Ui.JSInterop.Invocations.Single(i => i.Identifier == "guildStashDrafts.begin").Arguments[1]);
        Assert.Equal(request.ToString(), page.Find("[data-draft-of=piece]").GetAttribute("data-request"));
    }

    [Fact]
    public void Roundtrip_WhenTheUnitChangedMeanwhile_ShowsTheSameLengthInTheOther()
    {
        Use(LengthUnit.Yards);
        PieceForm form = new();
        form.Parts.Add(PartForm.New("Body", Display));
        form.Parts[0].Safe.Value = 792;
        form.Parts[0].Reckon.Width.Value = 36;
        string state = DraftState.Write(form.ToDraft(Display));

        PartForm same = PieceForm.Of(DraftState.Read<PieceDraft>(state)!, Display).Parts[0];
        Use(LengthUnit.Metres);
        PartForm other = PieceForm.Of(DraftState.Read<PieceDraft>(state)!, Display).Parts[0];

        // 792 yd are 724.2048 m, 36 in are 91.44 cm.
        Assert.Equal((792m, 36m, 724.2m, 91.44m), (same.Safe.Value, same.Reckon.Width.Value, other.Safe.Value, other.Reckon.Width.Value));
        Assert.Equal(724.2048, same.Safe.Kept!.Value, 9);
        Assert.Equal(same.Safe.Kept, other.Safe.Kept);
    }

    private IRenderedComponent<EditPiecePage> OpenNew() => Kept(Open<EditPiecePage>("/pieces/new"));

    private IRenderedComponent<EditPiecePage> OpenOf(Guid id) => Kept(Open<EditPiecePage>($"/pieces/{id}/edit", p => p.Add(c => c.Id, id)));

    private static IRenderedComponent<EditPiecePage> Kept(IRenderedComponent<EditPiecePage> page)
    {
        page.WaitForElement("[data-keeping]", RoomPages.Patience);
        return page;
    }

    private static async Task<bool> PauseAsync(IRenderedComponent<EditPiecePage> page)
    {
        bool safe = false;
        await page.InvokeAsync(async () => safe = await page.FindComponent<DraftKeeper<PieceDraft>>().Instance.SaveAsync());
        return safe;
    }

    private static Task<KeptDraft?> KeptAsync(DeskRoom room, string form) =>
        room.Guild.DoAsync<ReadDraft, KeptDraft?>(u => u.RunAsync(room.Volunteer, form, 1, Cancellation));

    private static Task<BookPiece> PieceAsync(DeskRoom room, Guid id) => room.Guild.DoAsync<PieceReader, BookPiece>(u => u.OneAsync(room.Volunteer, id, Cancellation));

    private string Time(DateTimeOffset moment) => TimeZoneInfo.ConvertTime(moment, Display.Zone).ToString("HH:mm", System.Globalization.CultureInfo.InvariantCulture);

    private static IEnumerable<string> Values(IRenderedComponent<EditPiecePage> page, params string[] selectors) =>
        selectors.Select(selector => page.Find(selector).GetAttribute("value") ?? "");
}
