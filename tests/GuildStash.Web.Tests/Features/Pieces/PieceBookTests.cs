using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Pieces;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Pieces;

/// <summary>The piece book: what is kept, what is refused and where, how pieces retire and come back.</summary>
public sealed class PieceBookTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static BookPartInput Body => new() { Name = "Body", MetresSafe = 150, WeightClasses = [WeightClass.Worsted] };

    private static BookPieceInput Hat => new() { Name = " Hat ", Craft = PieceCraft.Knitted, Minutes = 240, Notes = "warm", Parts = [Body] };

    private static Reckoning Swatch => new() { Way = ReckoningWay.Swatch, WidthCm = 40, HeightCm = 20, SwatchWidthCm = 10, SwatchHeightCm = 10, SwatchMetres = 9 };

    [Fact]
    public async Task Create_WhenFilledIn_KeepsEverything()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BookPartInput border = new()
        {
            Name = "Border",
            MetresLow = 20,
            MetresLikely = 25,
            MetresSafe = 30,
            WindowLow = 150,
            WindowHigh = 220,
            Strands = 2,
            Colour = "contrast:Body",
            ColourHex = "8A3C2E",
            Rules = RecipientRules.WashableOnly | RecipientRules.SoftOnly,
            OnlyFibres = ["co", "PAN"],
            MaxLots = 3,
            DyeLotsMayMix = false,
        };

        BookPiece piece = await OneAsync(room, await CreateAsync(room, Hat with { ForInfants = true, Parts = [Body with { Colour = "oneLot" }, border] }));

        Assert.Equal(("Hat", PieceCraft.Knitted, 240, "warm", true, false), (piece.Name, piece.Craft, piece.Minutes, piece.Notes, piece.ForInfants, piece.IsRetired));
        Assert.Equal(["Body", "Border"], piece.Parts.Select(p => p.Name));
        Assert.Equal((150, 150, 150, "oneLot", 1, 1), (piece.Parts[0].MetresLow, piece.Parts[0].MetresLikely, piece.Parts[0].MetresSafe, piece.Parts[0].Colour, piece.Parts[0].Strands, piece.Parts[0].MaxLots));
        Assert.Equal([WeightClass.Worsted], piece.Parts[0].WeightClasses);
        BookPart kept = piece.Parts[1];
        Assert.Equal((20, 25, 30, (150.0, 220.0), 2, "contrast:Body", "#8a3c2e"), (kept.MetresLow, kept.MetresLikely, kept.MetresSafe, kept.Window, kept.Strands, kept.Colour, kept.ColourHex));
        Assert.Equal((border.Rules, 3, false), (kept.Rules, kept.MaxLots, kept.DyeLotsMayMix));
        Assert.Equal(["CO", "PAN"], kept.OnlyFibres);
        Assert.Equal(150 + (2 * 30), piece.SafeMetres);
    }

    [Fact]
    public async Task Create_WhenReckoned_KeepsWhatWasEnteredAndItsExactLengths()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LengthNeed need = Reckoner.Need(Swatch).Value;
        BookPartInput part = Body with { MetresLow = Math.Round(need.Low.Metres, 1), MetresLikely = Math.Round(need.Likely.Metres, 1), MetresSafe = Math.Round(need.Safe.Metres, 1), Reckoning = Swatch };

        BookPart kept = (await OneAsync(room, await CreateAsync(room, Hat with { Parts = [part] }))).Parts.Single();

        Assert.Equal(Swatch, kept.Reckoning);
        Assert.Equal((need.Low.Metres, need.Likely.Metres, need.Safe.Metres), (kept.MetresLow, kept.MetresLikely, kept.MetresSafe));
        BookPart other = (await OneAsync(room, await CreateAsync(room, Hat with { Name = "Cap", Parts = [part with { MetresSafe = 90 }] }))).Parts.Single();
        Assert.Null(other.Reckoning);
        Assert.Equal(90, other.MetresSafe);
    }

    public static TheoryData<string, BookPieceInput> Wrong => new()
    {
        { "name", Hat with { Name = " " } },
        { "name", Hat with { Name = new string('x', 101) } },
        { "craft", Hat with { Craft = (PieceCraft)9 } },
        { "minutes", Hat with { Minutes = 0 } },
        { "minutes", Hat with { Minutes = 1_000_001 } },
        { "notes", Hat with { Notes = new string('x', 2_001) } },
        { "parts", Hat with { Parts = [] } },
        { "parts", Hat with { Parts = [.. Enumerable.Range(1, 13).Select(i => Body with { Name = $"Part {i}" })] } },
        { "parts[0].name", Hat with { Parts = [Body with { Name = "" }] } },
        { "parts[1].name", Hat with { Parts = [Body, Body with { Name = "BODY" }] } },
        { "parts[0].metres", Hat with { Parts = [Body with { MetresSafe = null }] } },
        { "parts[0].metres", Hat with { Parts = [Body with { MetresSafe = 0 }] } },
        { "parts[0].metres", Hat with { Parts = [Body with { MetresSafe = -4 }] } },
        { "parts[0].metres", Hat with { Parts = [Body with { MetresSafe = double.NaN }] } },
        { "parts[0].metres", Hat with { Parts = [Body with { MetresSafe = 10_001 }] } },
        { "parts[0].metres", Hat with { Parts = [Body with { MetresLow = 10 }] } },
        { "parts[0].metres", Hat with { Parts = [Body with { MetresLow = 160, MetresLikely = 155 }] } },
        { "parts[0].weightClasses", Hat with { Parts = [Body with { WeightClasses = [] }] } },
        { "parts[0].weightClasses", Hat with { Parts = [Body with { WeightClasses = [(WeightClass)77] }] } },
        { "parts[0].metresPer100g", Hat with { Parts = [Body with { WindowLow = 100 }] } },
        { "parts[0].metresPer100g", Hat with { Parts = [Body with { WindowLow = 300, WindowHigh = 100 }] } },
        { "parts[0].strands", Hat with { Parts = [Body with { Strands = 13 }] } },
        { "parts[0].strands", Hat with { Parts = [Body with { Strands = null }] } },
        { "parts[0].maxLots", Hat with { Parts = [Body with { MaxLots = 0 }] } },
        { "parts[0].maxLots", Hat with { Parts = [Body with { MaxLots = null }] } },
        { "parts[0].colour", Hat with { Parts = [Body with { Colour = "sparkling" }] } },
        { "parts[0].colour", Hat with { Parts = [Body with { Colour = "palette:3" }] } },
        { "parts[0].colour", Hat with { Parts = [Body with { Colour = "match:Border" }] } },
        { "parts[1].colour", Hat with { Parts = [Body, Body with { Name = "Border", Colour = "contrast:Body" }] } },
        { "parts[0].colourHex", Hat with { Parts = [Body with { ColourHex = "blue" }] } },
        { "parts[0].rules", Hat with { Parts = [Body with { Rules = (RecipientRules)(1 << 20) }] } },
        { "parts[0].onlyFibres", Hat with { Parts = [Body with { OnlyFibres = ["XX"] }] } },
    };

    [Fact]
    public async Task Invalid_WhenSomethingCanNotBe_NamesItsFieldAndSavesNothing()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);

        foreach (TheoryDataRow<string, BookPieceInput> row in Wrong)
        {
            (string field, BookPieceInput input) = row.Data;
            Outcome<Guid> refused = await TryCreateAsync(room, input);
            Assert.True(!refused.IsOk && refused.Refusals.Any(r => r.Field == field), $"{field}: {string.Join(" ", refused.Refusals.Select(r => r.Field + ": " + r))}");
        }

        Assert.Equal(0, await room.AskAsync(db => db.Pieces.CountAsync(Cancellation)));
    }

    [Fact]
    public async Task Name_WhenAnotherPieceInUseHasIt_IsRefusedAlsoInARaceAndWhenComingBack()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid first = await CreateAsync(room, Hat);

        Refuse.Rule("piece-name-taken", "name", await TryCreateAsync(room, Hat with { Name = "HAT" }));
        // Several rounds: in the first one the connections are still being opened, one after the other.
        for (int round = 1; round <= 6; round++)
        {
            string name = $"Cap_{round}";
            Outcome<Guid>[] race = await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => Task.Run(() => TryCreateAsync(room, Hat with { Name = name }))));
            Assert.Single(race, outcome => outcome.IsOk);
        }

        Assert.True((await TryCreateAsync(room, Hat with { Name = "CapX1" })).IsOk);

        await RetireAsync(room, first, true);
        Guid second = await CreateAsync(room, Hat);
        Refuse.Rule("piece-name-taken", await TryRetireAsync(room, first, false));
        await RetireAsync(room, second, true);
        await RetireAsync(room, first, false);
        Assert.False((await OneAsync(room, first)).IsRetired);
        Refuse.Rule("not-found", await TryRetireAsync(room, Guid.NewGuid(), true));
    }

    [Fact]
    public async Task Edit_WhenPartsChange_KeepsTheNewOnesAndRefusesAStaleChange()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid id = await CreateAsync(room, Hat with { Parts = [Body, Body with { Name = "Brim" }] });
        BookPiece before = await OneAsync(room, id);
        BookPieceInput input = BookPieceInput.Of(before);

        Assert.True((await TryEditAsync(room, id, 0, input with { Minutes = null, Parts = [input.Parts[1] with { MetresSafe = 40 }, input.Parts[0]] })).IsOk);
        Refuse.Rule("changed-meanwhile", await TryEditAsync(room, id, 0, input));
        Refuse.Rule("not-found", await TryEditAsync(room, Guid.NewGuid(), 0, input));

        BookPiece after = await OneAsync(room, id);
        Assert.Equal([("Brim", 40.0), ("Body", 150.0)], after.Parts.Select(p => (p.Name, p.MetresSafe)));
        Assert.Equal((null, 1), (after.Minutes, after.Version));
        Assert.Equal(2, await room.AskAsync(db => db.PieceParts.CountAsync(Cancellation)));
    }

    [Fact]
    public async Task Roundtrip_WhenWhatIsReadIsSaved_NothingChanges()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await room.Guild.DoAsync<BeginPieceBook, int>(u => u.RunAsync(room.Volunteer, Cancellation));
        foreach (BookLine line in (await ListAsync(room, null, false)).Items)
        {
            Assert.True((await TryEditAsync(room, line.Piece.Id, 0, BookPieceInput.Of(line.Piece))).IsOk, line.Piece.Name);
            BookPiece after = await OneAsync(room, line.Piece.Id);
            Assert.Equal(line.Piece.Parts.Select(p => (p.Name, p.MetresLow, p.MetresLikely, p.MetresSafe, p.Reckoning)), after.Parts.Select(p => (p.Name, p.MetresLow, p.MetresLikely, p.MetresSafe, p.Reckoning)));
        }
    }

    [Fact]
    public async Task Begin_WhenTheBookIsEmpty_WritesTheCommonPiecesOnce()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);

        Assert.Equal(9, await room.Guild.DoAsync<BeginPieceBook, int>(u => u.RunAsync(room.Volunteer, Cancellation)));
        Refuse.Rule("piece-book-begun", await room.Guild.UseAsync<BeginPieceBook, Outcome<int>>(u => u.RunAsync(room.Volunteer, Cancellation)));

        Dictionary<string, BookPiece> pieces = (await ListAsync(room, null, false)).Items.ToDictionary(line => line.Piece.Name, line => line.Piece);
        Assert.All(pieces.Values, piece => Assert.NotNull(Assert.Single(piece.Parts).Reckoning));
        // Common practice by the size table: an adult hat of class 4 takes 150 to 250 yd; the hand rule's worked example takes 320 yd.
        Assert.Equal((150 * 0.9144, 250 * 0.9144), (pieces["Adult hat"].Parts[0].MetresLow, pieces["Adult hat"].Parts[0].MetresSafe), (a, b) => Math.Abs(a.Item1 - b.Item1) < 1e-6 && Math.Abs(a.Item2 - b.Item2) < 1e-6);
        Assert.Equal(320 * 0.9144, pieces["Scarf, 8 by 48 in"].Parts[0].MetresSafe, 1e-3);
        Assert.Equal(48 * 0.9144 * 64 / 63, pieces["Square, 8 in"].Parts[0].MetresSafe, 0.05);
        Assert.Equal([true], pieces.Values.Where(p => p.ForInfants).Select(p => p.Parts[0].Rules.HasFlag(RecipientRules.InfantOrHospital)));
    }

    [Fact]
    public async Task List_WhenSearched_FindsNamesAndNotesAndCountsWhatOpenProjectsWant()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid hat = await CreateAsync(room, Hat);
        Guid cap = await CreateAsync(room, Hat with { Name = "Cap", Notes = "for the 100 % cotton list" });
        await RetireAsync(room, cap, true);
        await WantAsync(room, "Open", hat, 12);
        Guid closed = await WantAsync(room, "Closed", hat, 100);
        await room.Guild.DoAsync<CloseProject, bool>(u => u.RunAsync(room.Coordinator, closed, true, Cancellation));

        Assert.Equal([("Hat", 12)], (await ListAsync(room, null, false)).Items.Select(line => (line.Piece.Name, line.WantedByOpen)));
        Assert.Equal(["Hat", "Cap"], (await ListAsync(room, null, true)).Items.Select(line => line.Piece.Name));
        Assert.Equal(["Cap"], (await ListAsync(room, "100 %", true)).Items.Select(line => line.Piece.Name));
        Assert.Empty((await ListAsync(room, "%", false)).Items);
        Assert.Equal([("Open", 12, false), ("Closed", 100, true)], (await OneAsync(room, hat)).Wishes.Select(w => (w.Project, w.Wanted, w.IsClosed)));
    }

    private static Task<Guid> WantAsync(DeskRoom room, string project, Guid piece, int wanted) => room.Guild.DoAsync<CreateProject, Guid>(u =>
        u.RunAsync(room.Coordinator, new ProjectInput { Name = project, Pieces = [new PieceInput("Hat", wanted, "") { PieceId = piece }] }, Cancellation));

    private static Task<Outcome<Guid>> TryCreateAsync(DeskRoom room, BookPieceInput input) =>
        room.Guild.UseAsync<CreatePiece, Outcome<Guid>>(u => u.RunAsync(room.Volunteer, input, Cancellation));

    private static Task<Guid> CreateAsync(DeskRoom room, BookPieceInput input) =>
        room.Guild.DoAsync<CreatePiece, Guid>(u => u.RunAsync(room.Volunteer, input, Cancellation));

    private static Task<Outcome<bool>> TryEditAsync(DeskRoom room, Guid id, int version, BookPieceInput input) =>
        room.Guild.UseAsync<EditPiece, Outcome<bool>>(u => u.RunAsync(room.Volunteer, id, version, input, Cancellation));

    private static Task<Outcome<bool>> TryRetireAsync(DeskRoom room, Guid id, bool retire) =>
        room.Guild.UseAsync<RetirePiece, Outcome<bool>>(u => u.RunAsync(room.Volunteer, id, retire, Cancellation));

    private static async Task RetireAsync(DeskRoom room, Guid id, bool retire) => Assert.True((await TryRetireAsync(room, id, retire)).IsOk);

    private static Task<BookPiece> OneAsync(DeskRoom room, Guid id) => room.Guild.DoAsync<PieceReader, BookPiece>(u => u.OneAsync(room.Member, id, Cancellation));

    private static Task<PageOf<BookLine>> ListAsync(DeskRoom room, string? search, bool withRetired) =>
        room.Guild.DoAsync<PieceReader, PageOf<BookLine>>(u => u.ListAsync(room.Member, search, withRetired, new PageRequest(1), Cancellation));
}
