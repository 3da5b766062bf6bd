using GuildStash.Data.Projects;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Projects;
using GuildStash.Planning.Problem;

namespace GuildStash.Web.Features.Pieces;

/// <summary>What a piece of the book is to a plan.</summary>
internal static class PieceToPlan
{
    /// <param name="name">Unique within the plan.</param>
    /// <param name="rules">The recipient's, beside those of the parts.</param>
    public static PlanPiece Of(Piece piece, string name, int wanted, int priority, RecipientRules rules) => new()
    {
        Name = name,
        Wanted = wanted,
        Priority = priority,
        Rules = rules,
        Minutes = piece.Minutes ?? 0,
        Parts = [.. piece.Parts.OrderBy(part => part.Position).Select(Part)],
    };

    public static PlanPart Part(PiecePart part) => new()
    {
        Name = part.Name,
        Need = part.MetresLow == part.MetresSafe ? LengthNeed.OfSafe(part.MetresSafe).Value : LengthNeed.OfRange(part.MetresLow, part.MetresLikely, part.MetresSafe).Value,
        WeightClasses = part.WeightClasses,
        Window = part is { WindowLow: { } low, WindowHigh: { } high } ? new DensityWindow(low, high) : null,
        Strands = part.Strands,
        Colour = (ColourWish.TryParse(part.Colour, out ColourWish wish) ? wish : ColourWish.Any) with { Target = Colour.TryParse(part.ColourHex, out Colour near) ? near : null },
        Rules = part.Rules,
        OnlyFibres = part.OnlyFibres,
        MaxLots = part.MaxLots,
        DyeLotsMayMix = part.DyeLotsMayMix,
    };
}
