using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Planning.Problem;

namespace GuildStash.Planning;

/// <summary>The questions "what if" as changes of a plan's input; nothing of the given input is changed.</summary>
public static class WhatIf
{
    /// <summary>More of a kind that is planned already.</summary>
    /// <param name="piece">Name of the piece, case ignored.</param>
    public static PlanInput More(PlanInput input, string piece, int more = 1) => Change(input, piece, each => each with { Wanted = each.Wanted + more });

    /// <summary>Another kind of piece.</summary>
    public static PlanInput With(PlanInput input, PlanPiece piece) => input with { Pieces = [.. input.Pieces, piece] };

    /// <summary>A rule less, for the piece and all of its parts.</summary>
    /// <param name="piece">Name of the piece, case ignored.</param>
    public static PlanInput Without(PlanInput input, string piece, RecipientRules rule) => Change(input, piece, each => each with
    {
        Rules = each.Rules & ~rule,
        Parts = [.. each.Parts.Select(part => part with { Rules = part.Rules & ~rule })],
    });

    /// <summary>A bag that somebody might give, as one lot of at most 25 kg, its length from the class alone.</summary>
    /// <param name="mass">More than 0.</param>
    /// <param name="fibres">Not known unless given.</param>
    public static PlanInput WithBag(PlanInput input, Mass mass, WeightClass weightClass, ColourFamily? family, WeightClassTable table, FibreContent? fibres = null)
    {
        WeightClassRow row = table.Row(weightClass);
        FibreContent content = fibres ?? FibreContent.Unknown;
        string code = Enumerable.Range(1, input.Lots.Count + 1).Select(i => $"BAG {i}").First(name => !input.Lots.Any(lot => string.Equals(lot.Code, name, StringComparison.OrdinalIgnoreCase)));
        return input with
        {
            Lots = [.. input.Lots, new()
            {
                Code = code,
                Mass = mass,
                Yarn = LotYarn.Of(row.Low.MetresPer100Grams, row.Middle.MetresPer100Grams, row.High.MetresPer100Grams, weightClass),
                WeightClass = weightClass,
                ColourFamily = family,
                Traits = new(content, Tristate.Unknown, Conditions.None, content.HasMetallic, Softness.Unknown),
            }],
        };
    }

    private static PlanInput Change(PlanInput input, string piece, Func<PlanPiece, PlanPiece> change) => input with
    {
        Pieces = [.. input.Pieces.Select(each => string.Equals(each.Name, piece, StringComparison.OrdinalIgnoreCase) ? change(each) : each)],
    };
}

/// <param name="Now">How many are made now; null where the piece is new.</param>
/// <param name="Then">How many would be; null where the piece is gone.</param>
public sealed record PieceChange(string Piece, int? Now, int? Then);

/// <summary>Two plans side by side.</summary>
/// <param name="Pieces">Kinds whose number changes, in the order of both plans.</param>
/// <param name="LotsNow">Lots that the plan opens now.</param>
/// <param name="LotsThen">Lots that it would open.</param>
/// <param name="ChanceNow">Chance that any piece runs short now.</param>
/// <param name="ChanceThen">The same then.</param>
public sealed record PlanComparison(IReadOnlyList<PieceChange> Pieces, int LotsNow, int LotsThen, double ChanceNow, double ChanceThen)
{
    public static PlanComparison Of(PlanAnswer now, PlanAnswer then)
    {
        Dictionary<string, int> before = now.Made.ToDictionary(each => each.Piece, each => each.Count, StringComparer.OrdinalIgnoreCase);
        Dictionary<string, int> after = then.Made.ToDictionary(each => each.Piece, each => each.Count, StringComparer.OrdinalIgnoreCase);
        IEnumerable<string> names = now.Made.Concat(then.Made).Select(each => each.Piece).Distinct(StringComparer.OrdinalIgnoreCase);
        return new(
            [.. names.Select(name => new PieceChange(name, Count(before, name), Count(after, name))).Where(change => change.Now != change.Then)],
            Lots(now),
            Lots(then),
            now.ChanceOfShort,
            then.ChanceOfShort);
    }

    /// <summary>In one sentence.</summary>
    public Phrase Sentence => Pieces.Count == 0
        ? new Phrase("As many pieces as now; {0} lots are opened instead of {1}.", LotsThen, LotsNow)
        : new Phrase("{0}; {1} lots are opened instead of {2}.",
            Pieces.Select(change => new Phrase("{0} \"{1}\" instead of {2}", change.Then ?? 0, change.Piece, change.Now ?? 0)).Aggregate((soFar, next) => new Phrase("{0}, {1}", soFar, next)), LotsThen, LotsNow);

    private static int? Count(Dictionary<string, int> made, string name) => made.TryGetValue(name, out int count) ? count : null;

    private static int Lots(PlanAnswer plan) => plan.Assignments.Select(each => each.Lot).Distinct().Count();
}
