using GuildStash.Domain.Fibres;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.Yardage;

namespace GuildStash.Planning.Problem;

/// <summary>What a plan can't be asked with; each refusal names the field as the JSON API does.</summary>
internal static class PlanInputRules
{
    public const int MostLots = 5_000;
    public const int MostKinds = 200;
    public const int MostParts = 12;
    public const int MostPieces = PlanPiece.MostWanted;
    public const int MostPriority = 1_000;

    /// <summary>Lots times parts: what a gigabyte of memory holds with room to spare.</summary>
    public const int MostPairs = 200_000;
    public const int MostLotsAPiece = 1_000;
    public const int MostMinutes = 1_000_000;
    public const int LongestName = 100;
    private const int MostRefusals = 20;

    public static IReadOnlyList<Refusal> Check(PlanInput input)
    {
        Refusals wrong = new();
        wrong.Unless(input.Safety is >= 0.5 and <= 0.99, "safety", "A safety of {0}: 0.5 (likely figures) to 0.99 is allowed, 0.95 is usual.", input.Safety);
        wrong.Unless(input.MinutesLimit is null or (>= 1 and <= MostMinutes), "minutesLimit", "A limit of {0} minutes: 1 to {1:N0} is allowed, or none.", input.MinutesLimit ?? 0, MostMinutes);
        wrong.Unless(input.Lots.Count <= MostLots, "lots", "{0:N0} lots were given; a plan takes at most {1:N0}. Choose by class, colour or bin.", input.Lots.Count, MostLots);
        wrong.Unless(input.Pieces.Count is >= 1 and <= MostKinds, "pieces", "{0:N0} kinds of pieces were given; 1 to {1} are allowed. Give alike pieces once, with the number wanted.", input.Pieces.Count, MostKinds);
        if (wrong.Any)
        {
            return wrong.All;
        }

        int parts = input.Pieces.Sum(piece => piece.Parts.Count);
        wrong.Unless((long)input.Lots.Count * parts <= MostPairs, "lots", "{0:N0} lots for {1:N0} parts are too much for one plan: their product may be {2:N0}. Choose lots by class, colour or bin, or plan fewer kinds at once.", input.Lots.Count, parts, MostPairs);
        CheckLots(input.Lots, wrong);
        CheckPieces(input.Pieces, wrong);
        long wanted = input.Pieces.Sum(piece => (long)Math.Max(0, piece.Wanted));
        wrong.Unless(wrong.Any || wanted <= MostPieces, "pieces", "{0:N0} pieces are wanted together; a plan takes at most {1:N0}. Plan a part of them first.", wanted, MostPieces);
        return wrong.All;
    }

    private static void CheckLots(IReadOnlyList<PlanLot> lots, Refusals wrong)
    {
        HashSet<string> codes = new(StringComparer.OrdinalIgnoreCase);
        for (int i = 0; i < lots.Count && wrong.All.Count < MostRefusals; i++)
        {
            PlanLot lot = lots[i];
            string at = $"lots[{i}]";
            wrong.Unless(IsName(lot.Code), at + ".code", "A lot needs a code of 1 to {0} characters without line breaks.", LongestName);
            wrong.Unless(!IsName(lot.Code) || codes.Add(lot.Code), at + ".code", "Lot {0} is there twice: give each lot once.", lot.Code);
            wrong.Unless(lot.Mass > Mass.Zero && lot.Mass.Grams <= MassLimits.LotMaxGrams, at + ".grams", "Lot {0} weighs {1} g: more than 0 and at most {2:N0} g is allowed.", lot.Code, lot.Mass.Grams, MassLimits.LotMaxGrams);
            wrong.Unless(lot.Yarn.Likely.MetresPer100Grams is >= 1 and <= 100_000, at + ".metresPer100g", "Lot {0} has {1} m to 100 g: 1 to 100,000 is allowed.", lot.Code, lot.Yarn.Likely.MetresPer100Grams);
            wrong.Unless(lot.Wish is >= 0 and <= PlanLot.MostWish, at + ".wish", "A wish of {0} for lot {1}: 0 to {2} is allowed.", lot.Wish, lot.Code, PlanLot.MostWish);
        }
    }

    private static void CheckPieces(IReadOnlyList<PlanPiece> pieces, Refusals wrong)
    {
        HashSet<string> names = new(StringComparer.OrdinalIgnoreCase);
        for (int i = 0; i < pieces.Count && wrong.All.Count < MostRefusals; i++)
        {
            PlanPiece piece = pieces[i];
            string at = $"pieces[{i}]";
            wrong.Unless(IsName(piece.Name), at + ".name", "A piece needs a name of 1 to {0} characters without line breaks.", LongestName);
            wrong.Unless(!IsName(piece.Name) || names.Add(piece.Name), at + ".name", "Two pieces are named \"{0}\": give each its own name.", piece.Name);
            wrong.Unless(piece.Wanted is >= 1 and <= PlanPiece.MostWanted, at + ".wanted", "{0:N0} of \"{1}\" are wanted: 1 to {2:N0} is allowed.", piece.Wanted, piece.Name, PlanPiece.MostWanted);
            wrong.Unless(piece.Priority is >= 1 and <= MostPriority, at + ".priority", "A priority of {0} for \"{1}\": 1 to {2:N0} is allowed, the more the earlier.", piece.Priority, piece.Name, MostPriority);
            wrong.Unless(piece.Minutes is >= 0 and <= MostMinutes, at + ".minutes", "{0} minutes for \"{1}\": 0 to {2:N0} is allowed.", piece.Minutes, piece.Name, MostMinutes);
            wrong.Unless(piece.Parts.Count is >= 1 and <= MostParts, at + ".parts", "\"{0}\" has {1} parts: 1 to {2} are allowed.", piece.Name, piece.Parts.Count, MostParts);
            CheckParts(piece, at, wrong);
        }
    }

    private static void CheckParts(PlanPiece piece, string ofPiece, Refusals wrong)
    {
        Dictionary<string, PlanPart> earlier = new(StringComparer.OrdinalIgnoreCase);
        for (int i = 0; i < Math.Min(piece.Parts.Count, MostParts); i++)
        {
            PlanPart part = piece.Parts[i];
            string at = $"{ofPiece}.parts[{i}]";
            wrong.Unless(IsName(part.Name), at + ".name", "A part needs a name of 1 to {0} characters without line breaks.", LongestName);
            wrong.Unless(!earlier.ContainsKey(part.Name), at + ".name", "Two parts of \"{0}\" are named \"{1}\": give each its own name.", piece.Name, part.Name);
            wrong.Unless(part.Strands is >= 1 and <= HeldStrands.MostStrands, at + ".strands", "{0} strands can't be held together; 1 to {1} are allowed.", part.Strands, HeldStrands.MostStrands);
            wrong.Unless(part.MaxLots is >= 1 and <= MostLotsAPiece, at + ".maxLots", "At most {0} lots for one piece: 1 (no join) to {1:N0} is allowed.", part.MaxLots, MostLotsAPiece);
            wrong.Unless(part.WeightClasses.Count > 0 || part.Window is not null, at + ".weightClasses", "\"{0}\" of \"{1}\" does not say how thick its yarn must be: give weight classes, or a length to 100 g.", part.Name, piece.Name);
            wrong.Unless(part.WeightClasses.All(Enum.IsDefined), at + ".weightClasses", "\"{0}\" of \"{1}\" asks for a weight class that does not exist.", part.Name, piece.Name);
            wrong.Unless(part.Window is not { } window || (window.Low > 0 && window.Low <= window.High), at + ".metresPer100g", "A window of {0} to {1} in 100 g: low must be more than 0 and not above high.", Length.Nearest(part.Window?.Low ?? 0), Length.Nearest(part.Window?.High ?? 0));
            string[] unknown = [.. part.OnlyFibres.Where(code => !FibreTable.TryFind(code, out _))];
            wrong.Unless(unknown.Length == 0, at + ".onlyFibres", "\"{0}\" is not a known fibre code.", unknown.FirstOrDefault() ?? "");
            CheckColour(piece, part, at + ".colour", earlier, wrong);
            earlier.TryAdd(part.Name, part);
        }
    }

    private static void CheckColour(PlanPiece piece, PlanPart part, string at, Dictionary<string, PlanPart> earlier, Refusals wrong)
    {
        ColourWish wish = part.Colour;
        switch (wish.Kind)
        {
            case ColourWishKind.Palette:
                wrong.Unless(wish.Count is >= 2 and <= ColourWish.MostFamilies, at, "A palette of {0} families: 2 to {1} are allowed.", wish.Count, ColourWish.MostFamilies);
                wrong.Unless(part.MaxLots >= wish.Count, at, "Contradiction in \"{0}\" of \"{1}\": a palette of {2} families needs at least {2} lots, but at most {3} are allowed for a piece.", part.Name, piece.Name, wish.Count, part.MaxLots);
                break;
            case ColourWishKind.Family:
                wrong.Unless(wish.Family is { } family && Enum.IsDefined(family), at, "\"{0}\" of \"{1}\" asks for a colour family that does not exist.", part.Name, piece.Name);
                break;
            case ColourWishKind.Contrast or ColourWishKind.Match:
                string other = wish.OtherPart ?? "";
                wrong.Unless(earlier.ContainsKey(other), at, "\"{0}\" of \"{1}\" refers to a part \"{2}\" that does not stand before it.", part.Name, piece.Name, other);
                wrong.Unless(!earlier.TryGetValue(other, out PlanPart? main) || main.Colour.HasOneFamily, at, "\"{0}\" of \"{1}\" refers to \"{2}\", which may have several colours: ask there for one lot, one family or a named family.", part.Name, piece.Name, other);
                break;
        }
    }

    private static bool IsName(string? name) => !string.IsNullOrWhiteSpace(name) && name.Length <= LongestName && !name.Any(char.IsControl);

    private sealed class Refusals
    {
        private readonly List<Refusal> _all = [];

        public IReadOnlyList<Refusal> All => _all;

        public bool Any => _all.Count > 0;

        public void Unless(bool holds, string field, string text, params object[] arguments)
        {
            if (!holds && _all.Count < MostRefusals)
            {
                _all.Add(Refusal.Invalid(field, text, arguments));
            }
        }
    }
}
