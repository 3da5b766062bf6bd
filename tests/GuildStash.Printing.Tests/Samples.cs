using GuildStash.Domain.Intake;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Printing.Tests;

/// <summary>Invented records that the documents are drawn from.</summary>
internal static class Samples
{
    public const string BinUrl = "HTTPS://STASH.EXAMPLE.ORG/B/K7MS";

    public const string WantedUrl = "HTTPS://STASH.EXAMPLE.ORG/WANTED/OPEN";

    public static readonly PrintTexts Yards = PrintTexts.English(PaperLengthUnit.Yards);

    public static readonly PrintTexts Metres = PrintTexts.English(PaperLengthUnit.Metres);

    public static readonly PrintedWeightClass Aran = new("Aran", 9);

    public static BinLabel Bin { get; } = new("K7M-S", BinUrl, "Aran and worsted, blues", "Shelf 3, top", "Old dye house");

    public static LotLabel Lot { get; } = new()
    {
        Code = "K7M4-P9U",
        Url = "HTTPS://STASH.EXAMPLE.ORG/L/K7M4P9U",
        Colour = new PrintedColour("pink", "#c58aa0"),
        WeightClass = Aran,
        Length = new PrintedLength(255 * 0.9144, 277 * 0.9144, 300 * 0.9144),
        Milligrams = 150_000,
        Fibres = "believed to be wool",
        BinCode = "K7M-S",
    };

    /// <summary>The table that comes with the program.</summary>
    public static IReadOnlyList<PrintedClassRow> Classes { get; } =
    [
        .. WeightClassTable.Default.RowsByWraps.Select(row => new PrintedClassRow(
            row.WeightClass.Name().ToString(), row.WeightClass.StandardNumber(), row.WeightClass.TypicalWraps(), row.WrapsAbove, row.WrapsUpTo, row.Low.MetresPer100Grams, row.High.MetresPer100Grams)),
    ];

    private static readonly PrintedWeightClass Dk = new("DK", 13);

    public static WantedPoster Poster(int lines = 3) => new()
    {
        GuildName = "Riverside Spinners and Knitters",
        Address = "Old dye house, 3 Wharf Lane\nSaturdays 10 to 12",
        For = ["Warm hats for the night shelter", "Lap blankets"],
        AsOf = new DateOnly(2026, 5, 15),
        Url = WantedUrl,
        Lines =
        [
            .. new WantedPosterLine[]
            {
                new([Dk], new PrintedColour("Blue", "#3a6ea8"), 1097.28, 420_400, [(12, "Hat")]),
                new([Dk, new("Worsted", 10.5), Aran], null, 640, null, [(8, "Scarf"), (3, "Cowl")]),
                new([new("Jumbo", 3)], new PrintedColour("Many colours", null), 90, 300_000, [(1, "Rug")]),
            }.Take(lines),
            .. Enumerable.Range(0, Math.Max(0, lines - 3)).Select(n => new WantedPosterLine([Aran], new PrintedColour("Red", "#b5303c"), 50 - n, 20_000, [(1, $"Piece {n}")])),
        ],
    };

    public static IntakeSheet Sheet(int lots = 0) => new()
    {
        GuildName = "Riverside Spinners and Knitters",
        DonationNumber = "D-2026-0042",
        BagOrdinal = 1,
        BagCount = 2,
        Kind = IntakeKind.Donation,
        ReceivedOn = new DateOnly(2026, 4, 3),
        GrossMilligrams = 2_348_000,
        TareMilligrams = 38_500,
        Wishes = "To be made into blankets, please not sold.",
        Conditions = ["pet hair", "a little perfume"],
        Cautions =
        [
            "Wool in this bag: treat and inspect before it leaves quarantine. Gloves if you see webbing or grit.",
            "Live insects: close the bag, mark it, take it out of the room and tell the coordinator the same day.",
        ],
        Quarantine = "Bin Q3T-J until the freezer run is recorded and the bag inspected.",
        Notes = "From one household; most balls have lost their bands.",
        BagUrl = "HTTPS://STASH.EXAMPLE.ORG/D/D-2026-0042/1",
        Lots = Lots(lots),
    };

    public static PickUpSlip Slip(int rows = 4) => new()
    {
        GuildName = "Riverside Spinners and Knitters",
        SlipNumber = "P-2026-0117",
        MemberName = "Ada Example",
        ProjectName = "Winter hats for the shelter",
        DueOn = new DateOnly(2026, 5, 15),
        KeptUntil = new DateOnly(2026, 4, 24),
        Rows =
        [
            .. Lots(rows).Select((lot, index) => new PickUpRow
            {
                LotCode = lot.Code,
                Colour = lot.Colour,
                WeightClass = lot.WeightClass,
                MilligramsToTake = lot.Milligrams ?? 40_000,
                LowMetres = lot.Length?.LowMetres,
                BinCode = index % 5 == 4 ? null : lot.BinCode,
                Url = $"HTTPS://STASH.EXAMPLE.ORG/L/{lot.Code.Replace("-", "", StringComparison.Ordinal)}",
            }),
        ],
    };

    private static IReadOnlyList<IntakeSheetLot> Lots(int count) =>
        [.. Enumerable.Range(0, count).Select(index => Rows[index % Rows.Count])];

    private static IReadOnlyList<IntakeSheetLot> Rows { get; } =
    [
        new()
        {
            Code = "B2C3-D4U", Colour = new("dusty red", "#b5485a"), PutUp = "Ball", Balls = 2, Milligrams = 96_000, Wraps = "13 / 1 in",
            Fibres = "believed to be wool", WeightClass = new("DK", 13), Length = new(202, 212, 223), BinCode = "K7M-S",
        },
        new()
        {
            Code = "K7M4-P9U", Colour = new("light greyish pink", "#d9a3ae"), PutUp = "Skein", Balls = 1, Milligrams = 48_500, Wraps = "40 / 2 in",
            Fibres = "75% wool, 25% polyamide", Band = new(420, 100), WeightClass = new("Fingering", 20), Length = new(158, 187, 222), BinCode = "B2C-T",
        },
        new()
        {
            Code = "Z3X8-K2M", Colour = new("cream", "#efe6d2"), PutUp = "Hank", Balls = 11, Milligrams = 1_203_000, Wraps = "10 / 1 in",
            Fibres = "unknown", WeightClass = new("Worsted or aran", 9.5), Length = new(1326, 1620, 2409), BinCode = "Q3T-J",
        },
        new()
        {
            Code = "T6V9-C4N", Colour = new("black", "#101113"), PutUp = "Cone", Balls = 1, Wraps = "28 / 1 in",
            Fibres = "test consistent with cotton", WeightClass = new("Lace", 28), BinCode = "K7W-8",
        },
        new()
        {
            Code = "H5J7-R8W", Colour = new("several", null), PutUp = "Tangle", Milligrams = 203_000,
            Fibres = "unknown", WeightClass = new("Super bulky", 5.5), Length = new(120.6, 155, 202.3), BinCode = "K7W-8",
        },
    ];
}
