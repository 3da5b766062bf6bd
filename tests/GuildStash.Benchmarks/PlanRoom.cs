using GuildStash.Domain.Colours;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Planning.Problem;

namespace GuildStash.Benchmarks;

/// <summary>An invented room to plan in, the same for the same seed: lots as a guild has them, and pieces of the common kinds.</summary>
internal static class PlanRoom
{
    private static readonly (WeightClass Class, int Share)[] Classes =
        [(WeightClass.Fingering, 12), (WeightClass.Sport, 8), (WeightClass.Dk, 25), (WeightClass.Worsted, 25), (WeightClass.Aran, 12), (WeightClass.Medium, 8), (WeightClass.Bulky, 10)];

    // Yards of common guides (docs/sources.md), classes, and lots that one piece may be joined from.
    private static readonly (string Name, int Least, int Most, WeightClass[] Classes, int MaxLots)[] Kinds =
    [
        ("hat", 150, 250, [WeightClass.Worsted, WeightClass.Aran, WeightClass.Medium], 2),
        ("light hat", 200, 300, [WeightClass.Dk], 2),
        ("baby hat", 30, 80, [WeightClass.Worsted, WeightClass.Dk], 1),
        ("square", 40, 48, [WeightClass.Worsted, WeightClass.Aran, WeightClass.Medium], 3),
        ("lap blanket", 600, 900, [WeightClass.Worsted, WeightClass.Aran, WeightClass.Medium], 12),
        ("warm hat", 125, 200, [WeightClass.Bulky], 2),
        ("socks", 350, 450, [WeightClass.Fingering], 2),
        ("baby jacket", 250, 400, [WeightClass.Sport, WeightClass.Dk], 2),
    ];

    public static PlanProblem Of(int seed, int lots, int kinds, int wanted)
    {
        Random random = new(seed);
        PlanInput input = new()
        {
            Lots = [.. Enumerable.Range(0, lots).Select(i => Lot(random, i))],
            Pieces = [.. Enumerable.Range(0, kinds).Select(i => Piece(random, i, wanted))],
            Substitutes = StrandSubstitutes.Default,
        };
        return PlanProblem.Create(input).Value;
    }

    private static PlanLot Lot(Random random, int i)
    {
        int at = random.Next(Classes.Sum(each => each.Share));
        WeightClass weightClass = Classes.First(each => (at -= each.Share) < 0).Class;
        WeightClassRow row = WeightClassTable.Default.Row(weightClass);
        return new()
        {
            Code = $"L{i}",
            // From a rest of 20 g to a cone of 400 g, half of them under 90 g.
            Mass = Mass.FromGrams(Math.Round(20 * Math.Pow(20, random.NextDouble()), 0)),
            Yarn = LotYarn.Of(row.Low.MetresPer100Grams, row.Middle.MetresPer100Grams, row.High.MetresPer100Grams, weightClass),
            WeightClass = weightClass,
            ColourFamily = (ColourFamily)random.Next(13),
        };
    }

    private static PlanPiece Piece(Random random, int i, int wanted)
    {
        (string name, int least, int most, WeightClass[] classes, int maxLots) = Kinds[i % Kinds.Length];
        ColourWish colour = random.Next(10) switch
        {
            < 3 => ColourWish.OneFamily,
            < 5 when maxLots <= 2 => ColourWish.OneLot,
            5 => ColourWish.Of((ColourFamily)random.Next(13)),
            _ => ColourWish.Any,
        };
        return new()
        {
            Name = $"{name} {i}",
            Wanted = random.Next(1, wanted + 1),
            Priority = random.Next(1, 6),
            Parts =
            [
                new()
                {
                    Name = "yarn",
                    Need = LengthNeed.OfSafe(Length.FromYards(random.Next(least, most + 1)).Metres).Value,
                    WeightClasses = classes,
                    Colour = colour,
                    MaxLots = maxLots,
                },
            ],
        };
    }
}
