using GuildStash.Data.Stock;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Features.Planning;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Inventory;

/// <summary>The list of lots for a project, held against the rules that a reservation is held against.</summary>
public sealed class LotsForProjectTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Accepted_UnderEachRule_IsWhatTheRuleBookAccepts()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await room.LotAsync();
        await room.LotAsync(100, lot => lot with { Fibres = [], FibreBasis = default });
        await room.LotAsync(100, lot => lot with { MachineWashable = Tristate.Unknown, Softness = Softness.Scratchy });
        await room.LotAsync(100, lot => lot with { MachineWashable = Tristate.No, Fibres = [new FibreInput("WO", 60), new FibreInput("PA", 40)] });
        await room.LotAsync(100, lot => lot with { Fibres = [new FibreInput("WM", 70), new FibreInput("ME", 30)] });
        await room.LotAsync(100, lot => lot with { Texture = Texture.Metallic });
        foreach (Conditions noted in (Conditions[])[Conditions.Smoke, Conditions.PetHair, Conditions.Perfume, Conditions.Mothball])
        {
            LotView lot = await room.LotAsync(50);
            await room.OwnerSqlAsync($"update lot set conditions = {(int)noted} where id = {lot.Id}");
        }

        List<Lot> all = await room.AskAsync(db => db.Lots.AsNoTracking().ToListAsync(Cancellation));
        Assert.Equal(10, all.Count);
        foreach ((RecipientRules rule, string key, _) in RecipientRuleBook.Each)
        {
            string[] found = await ForAsync(room, await room.ProjectAsync(key, rule));
            string[] accepted = [.. all.Where(l => Accepts(rule, l)).Select(l => l.Code).Order(StringComparer.Ordinal)];

            Assert.InRange(accepted.Length, 1, 9);
            Assert.Equal((key, string.Join(' ', accepted)), (key, string.Join(' ', found)));
        }
    }

    [Fact]
    public async Task Filter_WhenTheProjectsPiecesAskAThickness_LeavesThoseLotsOnly()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        LotView aran = await room.Desk.LotAsync();
        LotView dk = await room.Desk.LotAsync(100, lot => lot with { WeightClass = WeightClass.Dk });
        LotView medium = await room.Desk.LotAsync(100, lot => lot with { WeightClass = WeightClass.Medium });
        LotView lace = await room.Desk.LotAsync(100, lot => lot with { WeightClass = WeightClass.Lace });
        LotView scratchy = await room.Desk.LotAsync(100, lot => lot with { Softness = Softness.Scratchy });
        Guid hat = await room.PieceAsync("Hat", 60);
        Guid shawl = await room.PieceAsync("Shawl", 60, piece =>
        {
            (piece.Parts[0].WeightClasses, piece.Parts[0].WindowLow, piece.Parts[0].WindowHigh) = ([], lace.MetresPer100gLikely - 1, lace.MetresPer100gLikely + 1);
        });
        (Guid hats, _) = await room.WantedAsync(hat, 2, rules: RecipientRules.SoftOnly);
        (Guid shawls, _) = await room.WantedAsync(shawl, 2, "Shawl", project: "Shawls");
        (Guid unsaid, _) = await room.WantedAsync(null, 2, "Toy", project: "Toys");

        Assert.Equal(Codes(aran), await ForAsync(room.Desk, hats));
        Assert.Equal(Codes(lace), await ForAsync(room.Desk, shawls));
        Assert.Equal(Codes(aran, dk, medium, lace, scratchy), await ForAsync(room.Desk, unsaid));
        Assert.Empty(await ForAsync(room.Desk, Guid.CreateVersion7()));
    }

    [Fact]
    public async Task Filter_WhenAPartAsksForFibresColoursOrTwoStrands_LeavesWhatSuitsAPartAndSaysWhich()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        LotView bulky = await room.Desk.LotAsync(100, lot => lot with { WeightClass = WeightClass.Bulky, ColourHex = "#2040c0" });
        LotView doubled = await room.Desk.LotAsync(100, lot => lot with { WeightClass = WeightClass.Dk });
        LotView red = await room.Desk.LotAsync(100, lot => lot with { WeightClass = WeightClass.Lace, ColourHex = "#c01020" });
        await room.Desk.LotAsync(100, lot => lot with { WeightClass = WeightClass.Lace, ColourHex = "#2040c0" });
        await room.Desk.LotAsync(100, lot => lot with { WeightClass = WeightClass.Bulky, Fibres = [new FibreInput("PAN", 100)] });
        Guid mat = await room.PieceAsync("Mat", 60, piece =>
        {
            (piece.Parts[0].WeightClasses, piece.Parts[0].OnlyFibres) = ([WeightClass.Bulky], ["CO"]);
            piece.Parts.Add(new() { PieceId = piece.Id, Name = "Edge", Position = 1, MetresLow = 9, MetresLikely = 9, MetresSafe = 9, WeightClasses = [WeightClass.Lace], Colour = "family:red" });
        });
        (Guid mats, _) = await room.WantedAsync(mat, 2, "Mat");

        Dictionary<string, string> told = (await LotsAsync(room.Desk, mats)).ToDictionary(
            lot => lot.Code, lot => string.Join("; ", lot.Suits.Select(piece => $"{piece.Piece}: {string.Join(", ", piece.Parts.Select(part => $"{part.Name} {part.Strands}"))} of {piece.OfParts}")));

        Assert.Equal(new Dictionary<string, string> { [bulky.Code] = "Mat: Body 1 of 2", [doubled.Code] = "Mat: Body 2 of 2", [red.Code] = "Mat: Edge 1 of 2" }, told);
    }

    /// <summary>As a reservation asks the rule book about it.</summary>
    private static bool Accepts(RecipientRules rule, Lot lot)
    {
        FibreContent fibres = FibreContent.Create(lot.FibreCodes.Select(code => new FibreShare(code))).Value;
        LotTraits traits = new(fibres, lot.MachineWashable, lot.Conditions, lot.Texture == Texture.Metallic || fibres.HasMetallic, lot.Softness);
        return RecipientRuleBook.Check(rule, traits, lot.Code, "").Count == 0;
    }

    private static string[] Codes(params LotView[] lots) => [.. lots.Select(l => l.Code).Order(StringComparer.Ordinal)];

    private static async Task<string[]> ForAsync(DeskRoom room, Guid project) => [.. (await LotsAsync(room, project)).Select(l => l.Code).Order(StringComparer.Ordinal)];

    private static async Task<IReadOnlyList<LotView>> LotsAsync(DeskRoom room, Guid project)
    {
        LotFilter filter = new LotFilterAddress { Project = project.ToString() }.Read([]);
        return (await room.Guild.DoAsync<InventoryReader, PageOf<LotView>>(u => u.LotsAsync(room.Member, filter, LotOrder.Newest, new PageRequest(1, 100), Cancellation))).Items;
    }
}
