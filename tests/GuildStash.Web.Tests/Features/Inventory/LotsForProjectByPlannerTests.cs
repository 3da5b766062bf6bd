using GuildStash.Data;
using GuildStash.Data.Projects;
using GuildStash.Data.Stock;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Problem;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Features.Planning;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Inventory;

/// <summary>The database's answer, held against the planner's own word on every lot: random lots, random parts.</summary>
public sealed class LotsForProjectByPlannerTests(PostgresFixture postgres, ITestOutputHelper output)
{
    private const int Lots = 400;
    private const int Projects = 40;

    private static readonly string[] s_fibres = ["WO", "CO", "PAN", "PA", "ME", "WM", "LI", "SE"];
    private static readonly string[] s_colours = ["any", "oneLot", "oneFamily", "family:blue", "family:red", "palette:3"];
    private static readonly StrandSubstitutes s_strands = StrandSubstitutes.Create(
    [
        new(WeightClass.Dk, 2, WeightClass.Bulky),
        new(WeightClass.Lace, 2, WeightClass.Dk),
        new(WeightClass.Lace, 3, WeightClass.Aran),
        new(WeightClass.Worsted, 3, WeightClass.Jumbo),
    ]).Value;

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Filter_OnRandomLotsAndParts_ListsExactlyWhatThePlannerWouldUse()
    {
        int seed = TestLength.Seed();
        output.WriteLine($"Seed {seed}");
        Random random = new(seed);
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        string[] strands = [.. s_strands.Rules.Select(rule => $"{rule.From.Key()} {rule.Strands} {rule.To.Key()}")];
        await room.Desk.OwnerSqlAsync($"update yardage set strands = {strands}, stamp = stamp + 1");
        List<Lot> lots = await LotsAsync(room, random);
        int listed = 0;
        for (int i = 0; i < Projects; i++)
        {
            RecipientRules ofRecipient = random.Next(3) == 0 ? Rules(random) : RecipientRules.None;
            List<(string Name, Guid Id, bool ForInfants, List<PiecePart> Parts)> pieces = [];
            for (int p = random.Next(1, 4); p > 0; p--)
            {
                bool forInfants = random.Next(4) == 0;
                List<PiecePart> parts = [.. Enumerable.Range(0, random.Next(1, 4)).Select(n => Part(random, n))];
                Guid id = await room.PieceAsync($"Piece {i}-{p}", 10, piece =>
                {
                    piece.ForInfants = forInfants;
                    piece.Parts.Clear();
                    parts.ForEach(part => part.PieceId = piece.Id);
                    piece.Parts.AddRange(parts);
                });
                pieces.Add(($"Piece {i}-{p}", id, forInfants, parts));
            }

            Guid project = await room.Desk.ProjectAsync($"Project {i}", ofRecipient);
            await using (GuildDbContext db = room.Guild.Look())
            {
                db.WantedPieces.AddRange(pieces.Select(piece => new WantedPiece { ProjectId = project, Name = piece.Name, Wanted = 1, PieceId = piece.Id }));
                await db.SaveChangesAsync(Cancellation);
            }

            LotFilter filter = new() { ProjectId = project };
            PageOf<LotView> found = await room.Guild.DoAsync<InventoryReader, PageOf<LotView>>(u => u.LotsAsync(room.Desk.Member, filter, LotOrder.Newest, new PageRequest(1, 500), Cancellation));
            (string Piece, PlanPiece Asked)[] asked = [.. pieces.Select(piece => (piece.Name, Asked(piece, ofRecipient)))];
            string[] expected = [.. lots.Where(lot => Suits(lot, asked)).Select(lot => lot.Code).Order(StringComparer.Ordinal)];
            string[] actual = [.. found.Items.Select(lot => lot.Code).Order(StringComparer.Ordinal)];
            Assert.True(expected.SequenceEqual(actual), $"Seed {seed}, project {i}: missing {string.Join(' ', expected.Except(actual))}; too many {string.Join(' ', actual.Except(expected))}");
            Assert.All(found.Items, lot => Assert.NotEmpty(lot.Suits));
            listed += actual.Length;
        }

        output.WriteLine($"{listed} of {Lots * Projects} pairs listed");
        Assert.InRange(listed, Lots * Projects / 50, Lots * Projects * 3 / 4);
    }

    private static bool Suits(Lot lot, (string Piece, PlanPiece Asked)[] pieces) =>
        Planned(lot) is { } yarn && pieces.Any(piece => piece.Asked.Parts.Any(part => PartYarn.StrandsFor(piece.Asked, part, yarn, s_strands) > 0));

    private static PlanLot? Planned(Lot lot) => lot is not { MetresPer100gLow: { } low, MetresPer100gLikely: { } likely, MetresPer100gHigh: { } high } ? null : new()
    {
        Code = lot.Code,
        Mass = Mass.FromGrams(100),
        Yarn = LotYarn.Of(low, likely, high),
        WeightClass = lot.WeightClass,
        ColourFamily = lot.ColourFamily,
        Traits = LotTraitsOf.Traits(lot),
    };

    private static PlanPiece Asked((string Name, Guid Id, bool ForInfants, List<PiecePart> Parts) piece, RecipientRules ofRecipient) => new()
    {
        Name = piece.Name,
        Wanted = 1,
        Rules = ofRecipient | (piece.ForInfants ? RecipientRules.InfantOrHospital : RecipientRules.None),
        Parts = [.. piece.Parts.Select(part => new PlanPart
        {
            Name = part.Name,
            Need = LengthNeed.OfSafe(part.MetresSafe, "metres").Value,
            WeightClasses = part.WeightClasses,
            Window = part is { WindowLow: { } low, WindowHigh: { } high } ? new(low, high) : null,
            Colour = ColourWish.TryParse(part.Colour, out ColourWish wish) ? wish : throw new InvalidOperationException(part.Colour),
            Rules = part.Rules,
            OnlyFibres = part.OnlyFibres,
        })],
    };

    private static RecipientRules Rules(Random random) => Pick(random, [.. RecipientRuleBook.Each.Select(each => each.Rule)]) | (random.Next(2) == 0 ? Pick(random, [.. RecipientRuleBook.Each.Select(each => each.Rule)]) : 0);

    private static PiecePart Part(Random random, int n)
    {
        WeightClass[] classes = [.. Enum.GetValues<WeightClass>().Where(_ => random.Next(6) == 0)];
        bool hasWindow = classes.Length == 0 || random.Next(3) == 0;
        double low = random.Next(1, 10) * 50;
        return new()
        {
            Name = $"Part {n}",
            Position = n,
            MetresLow = 10,
            MetresLikely = 10,
            MetresSafe = 10,
            WeightClasses = [.. classes],
            WindowLow = hasWindow ? low : null,
            WindowHigh = hasWindow ? low + random.Next(0, 8) * 50 : null,
            Rules = random.Next(3) == 0 ? Rules(random) : RecipientRules.None,
            OnlyFibres = random.Next(3) == 0 ? [.. s_fibres.Where(_ => random.Next(2) == 0)] : [],
            Colour = n > 0 && random.Next(4) == 0 ? "match:Part 0" : Pick(random, s_colours),
            MaxLots = 3,
        };
    }

    /// <summary>Copies of one lot, changed in all that a part may ask of; many lie exactly at the ends of windows.</summary>
    private static async Task<List<Lot>> LotsAsync(PlanRoom room, Random random)
    {
        LotView first = await room.Desk.LotAsync(1);
        await LotCopies.OfAsync(room.Guild, first, Lots - 1);
        await room.Desk.OwnerSqlAsync($"update lot set on_hand_mg = 0 where id <> {first.Id}");
        await using GuildDbContext db = room.Guild.Look();
        List<Lot> lots = await db.Lots.ToListAsync(Cancellation);
        foreach (Lot lot in lots)
        {
            double? likely = random.Next(10) == 0 ? null : random.Next(2) == 0 ? random.Next(1, 40) * 50 : Math.Exp(3 + (random.NextDouble() * 5));
            (lot.MetresPer100gLow, lot.MetresPer100gLikely, lot.MetresPer100gHigh) = (likely * 0.9, likely, likely * 1.1);
            lot.YardageEdition = -1;
            lot.WeightClass = random.Next(8) == 0 ? null : Pick(random, Enum.GetValues<WeightClass>());
            lot.ColourFamily = random.Next(6) == 0 ? null : Pick(random, [ColourFamily.Blue, ColourFamily.Red, ColourFamily.Green]);
            lot.FibreCodes = random.Next(5) == 0 ? [] : [.. Enumerable.Range(0, random.Next(1, 3)).Select(_ => Pick(random, s_fibres)).Distinct()];
            lot.FibrePercents = [];
            lot.MachineWashable = Pick(random, Enum.GetValues<Tristate>());
            lot.Softness = Pick(random, Enum.GetValues<Softness>());
            lot.Texture = Pick(random, Enum.GetValues<Texture>());
            lot.Conditions = random.Next(2) == 0 ? Conditions.None : Pick(random, [Conditions.Smoke, Conditions.PetHair, Conditions.Perfume, Conditions.Mothball]);
        }

        await db.SaveChangesAsync(Cancellation);
        return lots;
    }

    private static T Pick<T>(Random random, T[] all) => all[random.Next(all.Length)];
}
