using System.Text.Json;
using GuildStash.Data.Projects;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Planning;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Planning;

/// <summary>What a plan takes for the room's free yarn, and for what a piece needs.</summary>
public sealed class PlanReadingTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static AskedPiece Told(double metres, params WeightClass[] classes) => new()
    {
        Name = "Square",
        Wanted = 1,
        Parts = [new() { Name = "Body", MetresLow = metres, MetresLikely = metres, MetresSafe = metres, WeightClasses = classes.Length == 0 ? [WeightClass.Aran] : classes }],
    };

    /// <summary>Code and free milligrams of every lot that the plan saw.</summary>
    private static async Task<Dictionary<string, long>> SeenAsync(PlanRoom room, PlanView plan)
    {
        string lots = await room.Desk.AskAsync(db => db.Plans.Where(p => p.Id == plan.Id).Select(p => p.Lots!).SingleAsync(Cancellation));
        return JsonDocument.Parse(lots).RootElement.EnumerateArray().ToDictionary(lot => lot.GetProperty("code").GetString()!, lot => lot.GetProperty("mg").GetInt64());
    }

    [Fact]
    public async Task Lots_WhenHeldLapsedKeptApartOrUnweighed_AreThereAsFarAsTheyAreFree()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        LotView free = await room.Desk.LotAsync(150);
        LotView held = await room.Desk.LotAsync(100);
        await room.Desk.HoldAsync(held, 60);
        LotView lapsed = await room.Desk.LotAsync(80);
        await room.Desk.RunOutAsync((await room.Desk.HoldAsync(lapsed, 80)).Id);
        LotView all = await room.Desk.LotAsync(50);
        await room.Desk.HoldAsync(all, 50);
        await room.Desk.LotAsync(null);
        await room.Desk.LotAsync(120, lot => lot with { WeightClass = null });
        LotView apart = await room.Desk.LotAsync(70);
        await room.Desk.OwnerSqlAsync($"update lot set quarantine_reason = 'Policy' where id = {apart.Id}");

        PlanView plan = await room.PlanAsync(room.Desk.Member, new() { Pieces = [Told(10)] });

        Assert.Equal(new Dictionary<string, long> { [free.Display] = 150_000, [held.Display] = 40_000, [lapsed.Display] = 80_000 }, await SeenAsync(room, plan));
        Assert.Equal(3, plan.Answer!.LotsSeen);
        await room.Desk.OwnerSqlAsync($"update lot set quarantine_reason = null where id = {apart.Id}");
    }

    [Fact]
    public async Task Lots_WhenChosen_AreThoseThatMeetEveryWish()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        LotView blue = await room.Desk.LotAsync(150);
        LotView red = await room.Desk.LotAsync(150, lot => lot with { ColourHex = "#b02020" });
        LotView wool = await room.Desk.LotAsync(150, lot => lot with { Fibres = [new FibreInput("WO", 100)], MachineWashable = Tristate.No });
        LotView thick = await room.Desk.LotAsync(150, lot => lot with { WeightClass = WeightClass.Bulky });
        LotView smoky = await room.Desk.LotAsync(150, null, "smoke");
        async Task<string[]> Seen(LotChoice lots) => [.. (await SeenAsync(room, await room.PlanAsync(room.Desk.Volunteer, new() { Pieces = [Told(10)], Lots = lots }))).Keys.Order(StringComparer.Ordinal)];
        string[] Of(params LotView[] lots) => [.. lots.Select(lot => lot.Display).Order(StringComparer.Ordinal)];

        Assert.Equal(Of(blue, red, wool, thick, smoky), await Seen(new()));
        Assert.Equal(Of(red), await Seen(new() { ColourFamilies = [ColourFamily.Red] }));
        Assert.Equal(Of(thick), await Seen(new() { WeightClasses = [WeightClass.Bulky, WeightClass.Lace] }));
        Assert.Equal(Of(wool), await Seen(new() { Fibres = ["wo"] }));
        Assert.Equal(Of(blue, red, thick, smoky), await Seen(new() { Washable = true }));
        Assert.Equal(Of(blue, red, wool, thick), await Seen(new() { WithoutConditions = Conditions.Smoke }));
        Assert.Equal(Of(blue, red, wool, thick, smoky), await Seen(new() { Bins = [blue.BinDisplay] }));
        Assert.Empty(await Seen(new() { ColourFamilies = [ColourFamily.Red], Washable = true, Fibres = ["WO"] }));
    }

    [Fact]
    public async Task Lots_WhenABinIsToBeEmptied_ItsYarnIsTakenBeforeOther()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        var bin = await room.Guild.BinAsync("To be emptied");
        await room.Desk.LotAsync(150);
        LotView there = await room.Desk.LotAsync(150);
        await room.Desk.LotAsync(150);
        await room.Desk.OwnerSqlAsync($"update lot set bin_id = (select id from bin where code = {bin.Code}) where id = {there.Id}");

        PlanView plan = await room.PlanAsync(room.Desk.Member, new() { Pieces = [Told(10)], EmptyBins = [bin.Code] });
        await room.Desk.OwnerSqlAsync($"update lot set bin_id = (select bin_id from lot where id <> {there.Id} limit 1) where id = {there.Id}");

        Assert.Equal(there.Display, Assert.Single(plan.Answer!.Assignments).Lot);
    }

    [Fact]
    public async Task Piece_WhenForInfants_TakesNoYarnThatSmelledOfMothballs()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        await room.Desk.LotAsync(150, null, "mothball");
        Guid cap = await room.PieceAsync("Cap", 40, piece => piece.ForInfants = true);
        Guid hat = await room.PieceAsync("Hat", 40);

        Assert.Equal(0, (await room.PlanAsync(room.Desk.Member, new() { Pieces = [new() { PieceId = cap, Wanted = 1 }] })).Answer!.Count);
        Assert.Equal(1, (await room.PlanAsync(room.Desk.Member, new() { Pieces = [new() { PieceId = hat, Wanted = 1 }] })).Answer!.Count);
    }

    [Fact]
    public async Task Piece_WhenItHasPartsStrandsAndAColour_IsPlannedAsThePieceBookSays()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        LotView blue = await room.Desk.LotAsync(200);
        LotView red = await room.Desk.LotAsync(200, lot => lot with { ColourHex = "#b02020" });
        Guid hat = await room.PieceAsync("Hat", 60, piece =>
        {
            piece.Parts[0].Strands = 2;
            piece.Parts[0].Colour = "oneLot";
            piece.Parts.Add(new() { PieceId = piece.Id, Position = 1, Name = "Brim", MetresLow = 8, MetresLikely = 9, MetresSafe = 10, WeightClasses = [WeightClass.Aran], Colour = "contrast:Body" });
        });

        PlanView plan = await room.PlanAsync(room.Desk.Member, new() { Pieces = [new() { PieceId = hat, Wanted = 1, Family = ColourFamily.Red }] });

        Assert.Equal([("Body", red.Display, 120), ("Brim", blue.Display, 10)], plan.Answer!.Assignments.Select(yarn => (yarn.Part, yarn.Lot, yarn.Metres)).Order());
    }

    [Fact]
    public async Task Pieces_WhenTwoProjectsWantTheSame_AreToldApartAndKeepTheirRules()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        await room.Desk.LotAsync(400, lot => lot with { Fibres = [new FibreInput("WO", 100)] });
        Guid hat = await room.PieceAsync("Hat", 60);
        (Guid one, _) = await room.WantedAsync(hat, 2);
        (Guid other, _) = await room.WantedAsync(hat, 2, rules: RecipientRules.NoWool, project: "Tiny heads");

        PlanView plan = await room.PlanAsync(room.Desk.Coordinator, new() { Projects = [one, other] }, PlanPurpose.Drive);

        Assert.Equal([("Hat", "Tiny heads", 0), ("Hat", "Winter drive", 2)], plan.Answer!.Made.Select(each => (each.Label, each.ProjectName!, each.Count)).Order());
        Assert.Distinct(plan.Answer.Made.Select(each => each.Name));
    }

    [Fact]
    public async Task Safety_WhenNotAsked_IsTheGuilds()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        await room.Desk.LotAsync(100);
        await room.Desk.OwnerSqlAsync($"update guild set plan_safety_percent = 50");

        PlanView likely = await room.PlanAsync(room.Desk.Member, new() { Pieces = [Told(10)] });
        PlanView low = await room.PlanAsync(room.Desk.Member, new() { Pieces = [Told(10)], Safety = 0.95 });

        Assert.Equal((0.5, 0.95), (likely.Answer!.Safety, low.Answer!.Safety));
        Assert.True(low.Answer.Assignments[0].Mg > likely.Answer.Assignments[0].Mg);
    }

    /// <summary>Progress aside, a plan asks the database as often for a full room as for an empty one.</summary>
    [Fact]
    public async Task Read_WhenThereAreManyLotsAndPieces_AsksNoMoreOften()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        await room.Desk.LotAsync(100);
        (Guid project, _) = await room.WantedAsync(await room.PieceAsync("Hat", 60), 1);
        async Task<int> Count()
        {
            await room.AskAsync(room.Desk.Coordinator, new() { Projects = [project] }, PlanPurpose.Drive);
            using SqlCount sql = new();
            Assert.True(await room.Runner.RunNextAsync(Cancellation));
            return sql.Commands.Count(command => !command.Contains("returning stop_asked_at", StringComparison.Ordinal));
        }

        int few = await Count();
        for (int i = 0; i < 12; i++)
        {
            await room.Desk.LotAsync(100);
            Guid piece = await room.PieceAsync($"Piece {i}", 40 + i);
            await room.Desk.OwnerSqlAsync($"insert into wanted_piece (id, project_id, position, name, wanted, piece_id, priority, notes) values ({Guid.CreateVersion7()}, {project}, {i + 1}, {$"Piece {i}"}, 2, {piece}, 1, '')");
        }

        Assert.InRange(few, 5, 15);
        Assert.Equal(few, await Count());
    }
}
