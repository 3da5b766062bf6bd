using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Web.Features.Pieces;

/// <summary>
/// Pieces to begin with. Each length comes from the program's own size table, whose rows name their source, or is the published worked
/// example of the hand rule; colour wishes and joins are judgement. A guild changes what it makes otherwise.
/// </summary>
public static class CommonPieces
{
    private static readonly WeightClass[] ClassFour = [WeightClass.Worsted, WeightClass.Aran, WeightClass.Medium];

    public static IReadOnlyList<BookPieceInput> All { get; } =
    [
        Piece("Adult hat", Part(ClassFour, Usual("adult hat class 4"), "oneFamily", maxLots: 2)),
        Piece("Child hat", Part(ClassFour, ScaledHat("child"), "oneFamily", maxLots: 2)) with
        {
            Notes = "Length scaled from the adult hat by the size of the head: rough, on the safe side. Weigh the first ones.",
        },
        Piece("Infant hat", Part(ClassFour, Usual("baby hat class 4"), "oneLot") with
        {
            Rules = RecipientRules.WashableOnly | RecipientRules.SoftOnly | RecipientRules.NoMetallic | RecipientRules.InfantOrHospital,
        }) with
        {
            ForInfants = true,
        },
        Piece("Square, 8 in", Part(ClassFour, Square(8), "oneLot")),
        Piece("Rectangle, 7 by 9 in", Part(ClassFour, Usual("rectangle 7 by 9 in class 4") with { WidthCm = 7 * Inch, HeightCm = 9 * Inch }, "oneLot")),
        Piece("Lap blanket", Part(ClassFour, Usual("lap blanket class 4"), "any", maxLots: 12)),
        Piece("Scarf, 8 by 48 in", Part(ClassFour, Scarf, "oneFamily", maxLots: 3)) with
        {
            Notes = "Plain knitting at 5 stitches to the inch, the hand rule's own example. Guides for scarves differ twofold: reckon it anew for your stitch.",
        },
        Piece("Mittens, adult pair", Part(ClassFour, Usual("pair of adult mittens class 4"), "oneLot")),
        Piece("Socks, adult pair", Part([WeightClass.Fingering], Usual("pair of adult socks class 1"), "oneLot")),
    ];

    private const double Inch = 2.54;

    private static Reckoning Scarf => new()
    {
        Way = ReckoningWay.Gauge,
        WidthCm = 8 * Inch,
        HeightCm = 48 * Inch,
        Stitches = 5,
        OverCm = 2.54m,
        Fabric = Fabric.StockingStitch,
    };

    private static Reckoning Usual(string name) => new() { Way = ReckoningWay.SizeTable, Row = PieceSizes.Default.Of(PieceSizes.YarnKind).Single(row => row.Name == name) };

    /// <summary>A square by the rectangle's length and the ratio of areas.</summary>
    private static Reckoning Square(double inches) => Usual("rectangle 7 by 9 in class 4") with
    {
        WidthCm = inches * Inch,
        HeightCm = inches * Inch,
        RowSideCm = Math.Round(Math.Sqrt(7 * 9) * Inch, 2),
        SideCm = inches * Inch,
    };

    private static Reckoning ScaledHat(string head) => Usual("adult hat class 4") with { RowSideCm = Round("woman"), SideCm = Round(head) };

    /// <summary>Round of a hat for the head, with the middle ease.</summary>
    private static double Round(string head) =>
        HatRound.For(PieceSizes.Default.Of(PieceSizes.HeadKind).Single(row => row.Name == head), PieceSizes.Default).Middle;

    private static BookPieceInput Piece(string name, BookPartInput part) => new() { Name = name, Parts = [part] };

    private static BookPartInput Part(IReadOnlyList<WeightClass> classes, Reckoning reckoning, string colour, int maxLots = 1)
    {
        LengthNeed need = Reckoner.Need(reckoning).Value;
        return new()
        {
            Name = "Body",
            MetresLow = need.Low.Metres,
            MetresLikely = need.Likely.Metres,
            MetresSafe = need.Safe.Metres,
            Reckoning = reckoning,
            WeightClasses = classes,
            Colour = colour,
            MaxLots = maxLots,
        };
    }
}
