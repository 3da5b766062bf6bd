using System.Reflection;

namespace GuildStash.Printing;

/// <summary>Every word that the documents print of their own accord: English text, which is also the key for translation.</summary>
public static class PrintWords
{
    public const string Grams = "{0} g";
    public const string Kilograms = "{0} kg";
    public const string Metres = "{0} m";
    public const string Yards = "{0} yd";
    public const string AtLeast = "at least {0}";
    public const string ProbablyAtMost = "probably {0}, at most {1}";
    public const string LengthUnknown = "length not known";
    public const string NotWeighed = "not weighed";
    public const string NotForTrade = "internal use, not for trade";
    public const string WeightsNotForTrade = "Weights: internal use, not for trade.";
    public const string PageOf = "Page {0} of {1}";
    public const string BinLine = "Bin {0}";
    public const string InPlaceOf = "before: {0}";
    public const string CodeFor = "QR code for {0}";

    public const string IntakeSheet = "Intake sheet";
    public const string BagOf = "Bag {0} of {1}";
    public const string OpensBag = "Opens this bag";
    public const string Received = "Received";
    public const string From = "From";
    public const string NoDonorName = "a donor who wished no name";
    public const string Donation = "A donation: nothing is given for it";
    public const string Swap = "A swap: the giver gets something for it";
    public const string Gross = "Gross";
    public const string Tare = "Tare";
    public const string Net = "Net";
    public const string Wishes = "Donor's wishes";
    public const string Conditions = "Conditions";
    public const string NoConditions = "none noticed at the door";
    public const string Notes = "Notes";
    public const string Quarantine = "Quarantine";
    public const string Caution = "Caution";
    public const string HowToMeasure =
        "Measure: weigh to the gram. Roll the yarn onto a smooth rod without pulling, wraps touching, and count the middle inch or two, three times. Promise the lower end.";
    public const string TextContinues = "The rest is on the bag's page.";
    public const string Lots = "Lots in this bag";
    public const string SortedSoFar = "Sorted so far: {0} of {1}";
    public const string LotsNotWeighed = "lots not weighed: {0}";
    public const string ShutWhatToDo = "What to do with this bag";
    public const string ShutSeal = "1. Leave the bag shut and don't sort it. Put it into a second bag, seal that and write the number above on it.";
    public const string ShutTakeOut = "2. Take it out of the room at once, away from all other yarn, and tell the coordinator today.";
    public const string ShutDiscard = "3. Open the bag's page with the code above and choose \"Discard the bag\": then the books know that it is gone.";
    public const string TakenOutBy = "Taken out of the room by";
    public const string SortedBy = "Sorted by";
    public const string EnteredBy = "Entered in the app by";
    public const string OnDate = "Date";

    public const string ColumnLot = "Lot";
    public const string ColumnColour = "Colour, or tape a strand";
    public const string ColumnPutUp = "Put-up";
    public const string ColumnBalls = "Balls";
    public const string ColumnGrams = "Grams";
    public const string ColumnWraps = "Wraps / inches";
    public const string ColumnBand = "Band, m/g";
    public const string ColumnBandYards = "Band, yd/g";
    public const string BandLengthAndMass = "{0} / {1}";
    public const string ColumnFibre = "Fibre";
    public const string ColumnClassAndLength = "Class and length";
    public const string ColumnBin = "Bin";

    public const string BinLabels = "Bin labels";
    public const string LotLabels = "Lot labels";
    public const string QuarantineBin = "QUARANTINE";
    public const string TestPage = "Test page for labels";
    public const string TestPrintFullSize = "Print at 100 %, never \"fit to page\".";
    public const string TestHoldToLight =
        "Print this page on plain paper and hold it with a sheet of labels against the light: every outline must lie on a label.";
    public const string TestNudge = "Moved by {0} mm to the right and {1} mm down.";
    public const string TestRule = "This rule is 100 mm long.";
    public const string TestCard = "A bank card lies exactly on this outline: 85.60\u00A0×\u00A053.98\u00A0mm (ISO/IEC 7810, ID-1).";
    public const string TestScale = "Scale";

    public const string WrapsCard = "Wraps card";
    public const string PrintFullSize = "Print at 100 % (actual size), never \"fit to page\".";
    public const string NotToScale = "If the rule is not 100 mm long, or a bank card does not fit, the printer scaled: choose \"actual size\" and print again.";
    public const string HowToCount = "How to count";
    public const string CountRoll = "1. Roll the yarn onto a smooth rod, without pulling. The wraps touch; none lies on another.";
    public const string CountMiddle = "2. Hold a notch against the middle and count the wraps within. Two inches are better than one.";
    public const string CountThrice = "3. Count three times, each time rolled on anew. Note every count and the inches.";
    public const string CountNotValid = "Wraps say nothing of fuzzy, bouclé, thick-and-thin, ribbon, chenille or metallic yarn: weigh a sample.";
    public const string CutOut = "The card";
    public const string CutAlong = "Glue the sheet onto stiff card and cut along the middle of the line. You may also wind through the notches.";
    public const string OneInch = "1 in = {0} mm";
    public const string OneInchCount = "wraps per inch";
    public const string TwoInches = "2 in = {0} mm";
    public const string TwoInchesCount = "half of the count is wraps per inch";
    public const string WrapsPerInch = "Wraps per inch:";
    public const string ClassWraps = "{0} {1}";
    public const string WrapsOrMore = "{0} or more";
    public const string WrapsUpTo = "up to {0}";
    public const string WrapsFromTo = "{0}–{1}";
    public const string Strands = "Strands to compare with";
    public const string StrandsHow = "Lay the yarn, not pulled, on the strand that it just covers. The inch beside it shows the same class wound.";
    public const string ColumnWrapsPerInch = "Wraps per inch";
    public const string ColumnStrand = "One strand";
    public const string ColumnInch = "One inch of wraps";
    public const string ColumnIn100Grams = "In 100 g";
    public const string ClassAndNumber = "{0} ({1})";
    public const string LowToHigh = "{0} to {1}";
    public const string StrandOf = "A strand of {0}, {1} wraps per inch thick";
    public const string InchOf = "An inch of {0}: {1} wraps";
    public const string SnugTable =
        "Snug wraps, common practice of the trade; table {0}. A count between two rows belongs to the thicker class, which promises less. Tables of loose wraps have lower numbers: never mix the two. Numbers in brackets are those of the Standard Yarn Weight System.";

    public const string SampleGauge = "Sample gauge";
    public const string MetreStrip = "Metres";
    public const string YardStrip = "Yards";
    public const string OneTurn = "There and back: {0}\u00A0mm";
    public const string TurnsAre = "{0} turns: {1}";
    public const string HowToWeigh = "How to weigh a sample";
    public const string GlueAndCut = "1. Glue the sheet onto stiff card and cut along the middle of the lines, the notches too.";
    public const string LayOrWind = "2. Lay the yarn flat from notch to notch, there and back, without pulling. Or wind it around lengthwise and count the turns; the notches hold it.";
    public const string WoundIsLonger =
        "Wound, a turn is longer than stated by twice the card's thickness and about three times the yarn's: {1} mm for DK on card of {0} mm (computed). Add that for each turn.";
    public const string WeighIt = "3. Cut it off, weigh it on a scale set to zero, and enter length and grams as a weighed sample.";
    public const string ShortestSample = "Shortest sample worth weighing";
    public const string ShortestWhy = "It should weigh 20 divisions of the scale; with fewer, rounding spoils it.";
    public const string ScaleReadsTo = "scale reads to {0} g";

    public const string PickUpSlip = "Pick-up slip";
    public const string ForMember = "For";
    public const string ForProject = "Project";
    public const string OwnProject = "no project named";
    public const string DueBack = "To be returned by";
    public const string KeptUntil = "Kept for you until";
    public const string NoDueDate = "no date agreed";
    public const string LotsToFetch = "Lots to fetch, in the order of the bins";
    public const string ColumnColourName = "Colour";
    public const string ColumnWeightClass = "Weight class";
    public const string ColumnAtLeast = "At least";
    public const string ColumnTake = "Take";
    public const string ColumnWeighed = "Weighed, g";
    public const string NoBin = "no bin";
    public const string TakeTotal = "In all: {0} from {1} lots";
    public const string TakeTotalOfOne = "In all: {0} from one lot";
    public const string ReturnLeftovers =
        "Leftovers come back against weight: bring them dry and loosely wound, with this slip or the lot's code. Say if they met smoke, pets or damp; they are looked at before anybody else gets them.";
    public const string HandedOverBy = "Handed over by";
    public const string ReceivedBy = "Received by";

    public const string YarnWanted = "Yarn wanted";
    public const string WantedFor = "for {0}";
    public const string AnyOf = "{0} or {1}";
    public const string ThicknessToAsk = "of a thickness to ask for";
    public const string AnyColour = "any colour";
    public const string About = "about {0}";
    public const string NumberOfPieces = "{0} × {1}";
    public const string MoreKinds = "and {0} more kinds of yarn";
    public const string OneMoreKind = "and one more kind of yarn";
    public const string BringItTo = "Bring it to";
    public const string CleanAndDry =
        "Clean and dry yarn, please, with its band where there is one. Tell us if it met smoke, pets, scent or mothballs; yarn with moths or mould can't be taken.";
    public const string WantedNow = "What is wanted now:";
    public const string WantedLink = "Link to the yarn that is wanted now";
    public const string AsOfDate = "As of {0}";
    public const string WantedStrand = "A strand of {0}";
    public const string KitPickList = "Pick list";
    public const string KitPickHow = "Bin by bin: fetch, tick, lay to the kit. The scale tells what is weighed out.";
    public const string KitsOnList = "{0} kits: {1}";
    public const string ColumnKitAndPart = "Kit and part";
    public const string KitAndPart = "{0}: {1}";
    public const string KitLabels = "Kit labels";
    public const string KitOfLots = "{0} from {1} lots";
    public const string KitOfOneLot = "{0} from one lot";
    public const string KitNotPacked = "not packed yet";

    /// <summary>All keys, for translations and for the check that every character of them has a glyph.</summary>
    public static IReadOnlyList<string> All { get; } =
    [
        .. typeof(PrintWords).GetFields(BindingFlags.Public | BindingFlags.Static)
            .Where(field => field.IsLiteral)
            .Select(field => (string)field.GetRawConstantValue()!),
    ];
}
