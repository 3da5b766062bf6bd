using GuildStash.Domain.Colours;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Planning.Problem;

namespace GuildStash.Planning.Tests;

/// <summary>Short ways to lots and pieces, and invented rooms of them.</summary>
internal static class Rooms
{
    private static readonly ColourFamily[] Families = [ColourFamily.Red, ColourFamily.Blue, ColourFamily.Pink];
    private static readonly Colour[] Hues = [new(200, 30, 40), new(40, 60, 160), new(240, 150, 170)];

    public static PlanOptions Quick { get; } = new() { Seconds = 5, Seed = 1, Workers = 1 };

    public static PlanLot Lot(string code, double grams, double metresPer100g, WeightClass weightClass = WeightClass.Dk, ColourFamily? family = ColourFamily.Blue) => new()
    {
        Code = code,
        Mass = Mass.FromGrams(grams),
        Yarn = LotYarn.Of(metresPer100g, metresPer100g * 1.1, metresPer100g * 1.2, weightClass),
        WeightClass = weightClass,
        ColourFamily = family,
    };

    public static PlanPart Part(double metres, string name = "Body", int maxLots = 1, ColourWish? colour = null, params WeightClass[] classes) => new()
    {
        Name = name,
        Need = LengthNeed.OfSafe(metres).Value,
        MaxLots = maxLots,
        Colour = colour ?? ColourWish.Any,
        WeightClasses = classes.Length == 0 ? [WeightClass.Dk] : classes,
    };

    public static PlanPiece Piece(string name, int wanted, params PlanPart[] parts) => new() { Name = name, Wanted = wanted, Parts = parts };

    public static PlanProblem Problem(IEnumerable<PlanLot> lots, params PlanPiece[] pieces) => Problem(new PlanInput { Lots = [.. lots], Pieces = pieces });

    public static PlanProblem Problem(PlanInput input)
    {
        var problem = PlanProblem.Create(input);
        Assert.True(problem.IsOk, string.Join(" ", problem.Refusals));
        return problem.Value;
    }

    /// <summary>So small that every plan can be tried: lots of some decimetres, yarn so thick that 20 g of it matter.</summary>
    public static PlanInput Tiny(Random random)
    {
        bool twoParts = random.Next(3) == 0;
        PlanLot[] lots = [.. Enumerable.Range(0, random.Next(2, twoParts ? 4 : 5)).Select(i => TinyLot(random, $"L{i}"))];
        PlanPiece[] pieces = [.. Enumerable.Range(0, random.Next(1, twoParts ? 3 : 4)).Select(i => new PlanPiece
        {
            Name = $"P{i}",
            Wanted = random.Next(1, 4),
            Priority = random.Next(1, 5),
            Minutes = random.Next(1, 4),
            Parts = TinyParts(random, twoParts),
        })];
        return new()
        {
            Lots = lots,
            Pieces = pieces,
            MinutesLimit = random.Next(4) == 0 ? random.Next(3, 9) : null,
            Substitutes = random.Next(2) == 0 ? StrandSubstitutes.Default : PlanInput.NoSubstitutes,
        };
    }

    private static PlanLot TinyLot(Random random, string code)
    {
        int hue = random.Next(Families.Length);
        PlanLot lot = Lot(code, random.Next(5, 31), random.Next(12, 31) / 10.0, random.Next(3) == 0 ? WeightClass.Bulky : WeightClass.Dk, random.Next(8) == 0 ? null : Families[hue]);
        return lot with
        {
            Colour = random.Next(2) == 0 ? Hues[hue] : null,
            DyeLot = random.Next(3) switch { 0 => "A", 1 => "B", _ => null },
            Wish = random.Next(3) == 0 ? random.Next(1, 4) : 0,
        };
    }

    private static PlanPart[] TinyParts(Random random, bool twoParts)
    {
        ColourWish first = random.Next(6) switch
        {
            0 => ColourWish.OneLot,
            1 => ColourWish.Of(Families[random.Next(2)]),
            2 => ColourWish.OneFamily,
            3 when !twoParts => ColourWish.Palette(2),
            _ => ColourWish.Any with { Target = random.Next(3) == 0 ? Hues[1] : null },
        };
        PlanPart main = TinyPart(random, "Body", first);
        if (!twoParts)
        {
            return [main];
        }

        ColourWish second = first.Kind == ColourWishKind.Any ? ColourWish.Any : random.Next(3) switch
        {
            0 => ColourWish.MatchTo("Body"),
            1 => ColourWish.ContrastTo("Body"),
            _ => ColourWish.OneFamily,
        };
        return [main, TinyPart(random, "Trim", second)];
    }

    private static PlanPart TinyPart(Random random, string name, ColourWish colour) => Part(
        random.Next(1, 5) / 10.0,
        name,
        random.Next(colour.Kind == ColourWishKind.Palette ? 2 : 1, 4),
        colour,
        random.Next(3) switch { 0 => [WeightClass.Dk], 1 => [WeightClass.Bulky], _ => [WeightClass.Dk, WeightClass.Bulky] }) with
    {
        Strands = random.Next(4) == 0 ? 2 : 1,
        DyeLotsMayMix = random.Next(3) > 0,
    };

    /// <summary>A room as guilds have it: hats, squares, socks and blankets from balls and skeins of all colours.</summary>
    public static PlanInput Invented(Random random, int lots, int kinds, int wanted)
    {
        WeightClass[] classes = [WeightClass.Fingering, WeightClass.Sport, WeightClass.Dk, WeightClass.Worsted, WeightClass.Aran, WeightClass.Bulky];
        return new()
        {
            Lots = [.. Enumerable.Range(0, lots).Select(i =>
            {
                WeightClass weightClass = classes[random.Next(classes.Length)];
                WeightClassRow row = WeightClassTable.Default.Row(weightClass);
                double grams = Math.Round(Math.Exp(3 + (2.2 * random.NextDouble())), 1);
                return Lot($"L{i}", grams, row.Low.MetresPer100Grams, weightClass, (ColourFamily)random.Next(13)) with
                {
                    Yarn = LotYarn.Of(row.Low.MetresPer100Grams, row.Middle.MetresPer100Grams, row.High.MetresPer100Grams, weightClass),
                };
            })],
            Pieces = [.. Enumerable.Range(0, kinds).Select(i =>
            {
                int at = random.Next(classes.Length - 1);
                return Piece($"P{i}", random.Next(1, wanted + 1), Part(
                    random.Next(30, 400),
                    maxLots: random.Next(1, 4),
                    colour: random.Next(4) switch { 0 => ColourWish.OneLot, 1 => ColourWish.OneFamily, 2 => ColourWish.Of((ColourFamily)random.Next(13)), _ => ColourWish.Any },
                    classes: [classes[at], classes[at + 1]])) with { Priority = random.Next(1, 6) };
            })],
        };
    }
}
