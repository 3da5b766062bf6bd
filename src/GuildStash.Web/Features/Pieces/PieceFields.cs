using GuildStash.Data.Projects;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Planning.Problem;
using GuildStash.Web.Features.Planning;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Pieces;

/// <summary>Reads what was entered about a piece; what a plan can't work with is refused here, in the plan's own words.</summary>
internal static class PieceFields
{
    private const string PieceOfPlan = "pieces[0].";

    /// <summary>Only one at a time writes the book, so that no name is there twice.</summary>
    public static Task LockAsync(Act act) =>
        act.Db.Database.ExecuteSqlAsync($"select pg_advisory_xact_lock(hashtextextended({"piece book"}, 0))", act.Cancellation);

    /// <summary>Writes what was entered; nothing is written when the check failed.</summary>
    /// <param name="piece">A new one, or one that was read with its parts.</param>
    public static async Task ApplyAsync(Act act, Piece piece, BookPieceInput input, Check check)
    {
        string name = check.Needed(input.Name, "name", 100);
        check.That(Enum.IsDefined(input.Craft), "craft", "There is no such craft.");
        check.That(input.Minutes is null or >= 1, "minutes", "{0} minutes for one piece: 1 and more is allowed. Leave it empty where nobody knows.", input.Minutes ?? 0);
        string notes = check.Text(input.Notes, "notes", 2000);
        check.That(input.Parts.Count is >= 1 and <= BookLimits.MostParts, "parts", "A piece has 1 to {0} parts; {1} were given.", BookLimits.MostParts, input.Parts.Count);
        List<PiecePart> parts = [.. input.Parts.Take(BookLimits.MostParts).Select((part, i) => ReadPart(piece, part, i, check))];
        Piece entered = new() { Name = name, Minutes = input.Minutes };
        entered.Parts.AddRange(parts);
        AskThePlan(entered, check);
        if (name.Length > 0 && await IsTakenAsync(act, piece.Id, name))
        {
            check.Add(Refusal.Conflict("piece-name-taken", "The piece book has a \"{0}\" already. Give this one another name, for instance with its size or yarn.", name) with { Field = "name" });
        }

        if (check.Failed)
        {
            return;
        }

        piece.Name = name;
        piece.Craft = input.Craft;
        piece.ForInfants = input.ForInfants;
        piece.Minutes = input.Minutes;
        piece.Notes = notes;
        piece.ChangedAt = act.Now;
        piece.ChangedById = act.By.Id;
        act.Db.RemoveRange(piece.Parts);
        piece.Parts.Clear();
        piece.Parts.AddRange(parts);
    }

    /// <summary>Whether another piece in use has the name, case ignored.</summary>
    public static Task<bool> IsTakenAsync(Act act, Guid pieceId, string name) =>
        act.Db.Pieces.AnyAsync(p => p.Id != pieceId && p.RetiredAt == null && EF.Functions.ILike(p.Name, LikePattern.Whole(name), LikePattern.EscapeSign), act.Cancellation);

    private static PiecePart ReadPart(Piece piece, BookPartInput part, int i, Check check)
    {
        string at = $"parts[{i}]";
        LengthNeed? entered = ReadNeed(part, at + ".metres", check);
        LengthNeed? reckoned = entered is null ? null : ReckoningText.Giving(part.Reckoning, entered);
        LengthNeed need = reckoned ?? entered ?? LengthNeed.OfSafe(1).Value;
        check.That((part.WindowLow is null) == (part.WindowHigh is null), at + ".metresPer100g", "A window of lengths needs low and high, or neither.");
        check.That(ColourWish.TryParse(part.Colour, out _), at + ".colour", "There is no such colour wish.");
        check.That(string.IsNullOrWhiteSpace(part.ColourHex) || Colour.TryParse(part.ColourHex, out _), at + ".colourHex", "This is not a colour: write # and six digits 0 to 9 or a to f, for instance #8a3c2e.");
        RecipientRules known = RecipientRuleBook.Each.Aggregate(RecipientRules.None, (all, r) => all | r.Rule);
        check.That((part.Rules & ~known) == 0, at + ".rules", "There is a rule among these that does not exist.");
        check.That(part.Strands is not null, at + ".strands", "Say how many strands are held together: a whole number, 1 for most pieces.");
        check.That(part.MaxLots is not null, at + ".maxLots", "Say how many lots one piece may take for this part: a whole number, 1 allows no join.");
        return new PiecePart
        {
            PieceId = piece.Id,
            Position = i,
            Name = check.Needed(part.Name, at + ".name", 100),
            MetresLow = need.Low.Metres,
            MetresLikely = need.Likely.Metres,
            MetresSafe = need.Safe.Metres,
            Reckoning = reckoned is null ? null : ReckoningText.Write(part.Reckoning!),
            WeightClasses = [.. part.WeightClasses.Distinct().Order()],
            WindowLow = part.WindowLow,
            WindowHigh = part.WindowHigh,
            Strands = part.Strands ?? 1,
            Colour = string.IsNullOrWhiteSpace(part.Colour) ? "any" : part.Colour.Trim(),
            ColourHex = Colour.TryParse(part.ColourHex, out Colour near) ? near.Hex : null,
            Rules = part.Rules,
            OnlyFibres = [.. part.OnlyFibres.Select(code => code.Trim().ToUpperInvariant()).Distinct()],
            MaxLots = part.MaxLots ?? 1,
            DyeLotsMayMix = part.DyeLotsMayMix,
        };
    }

    private static LengthNeed? ReadNeed(BookPartInput part, string field, Check check)
    {
        if (part.MetresSafe is not { } safe)
        {
            check.That(false, field, "Say how long a strand this part takes at the safe side, or reckon it.");
            return null;
        }

        if (part.MetresLow is { } low && part.MetresLikely is { } likely)
        {
            return check.Take(LengthNeed.OfRange(low, likely, safe, field));
        }

        check.That(part.MetresLow is null && part.MetresLikely is null, field, "Give low and likely, or neither: then the safe figure counts as exact.");
        return check.Take(LengthNeed.OfSafe(safe, field));
    }

    /// <summary>What a plan would refuse of the piece, at the fields of the form.</summary>
    private static void AskThePlan(Piece entered, Check check)
    {
        if (check.Failed)
        {
            return;
        }

        List<Refusal> refusals = [];
        PlanPiece piece = new()
        {
            Name = entered.Name,
            Wanted = 1,
            Minutes = entered.Minutes ?? 0,
            Parts = PlanParts.Read(entered.Parts.Select(AskedPart.Of), new AskedPiece(), "pieces[0]", refusals),
        };
        refusals.AddRange(PlanProblem.Create(new PlanInput { Pieces = [piece] }).Refusals);
        foreach (Refusal refusal in refusals)
        {
            check.Add(refusal with { Field = refusal.Field?.Replace(PieceOfPlan, "", StringComparison.Ordinal) });
        }
    }
}
