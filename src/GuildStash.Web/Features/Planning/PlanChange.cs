using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;

namespace GuildStash.Web.Features.Planning;

/// <summary>What if: exactly one of pieces more, a rule less, or a bag that somebody might give.</summary>
/// <param name="Piece">Name of the piece in the plan, for more of it or for the rule.</param>
/// <param name="More">How many more, 1 to 1,000.</param>
/// <param name="Lift">A rule that is asked no longer, of this piece.</param>
public sealed record PlanChange(string? Piece = null, int? More = null, RecipientRules? Lift = null, AskedBag? Bag = null)
{
    /// <summary>The ask with this changed; pieces that its projects brought are named, so that one of them can differ.</summary>
    public Outcome<PlanAsk> Apply(PlanAsk ask, PlanResult result)
    {
        if (Bag is { } bag)
        {
            return ask with { Bags = [.. ask.Bags, bag] };
        }

        if (result.Made.FirstOrDefault(each => each.Name == Piece) is not { } piece)
        {
            return Refusal.Invalid("piece", "The plan has no piece \"{0}\". Choose one of the plan's.", Piece ?? "");
        }

        return this switch
        {
            { More: { } more } => more is >= 1 and <= 1_000
                ? With(ask, piece, each => each with { More = each.More + more })
                : Refusal.Invalid("more", "{0} pieces more can't be asked for: 1 to {1:N0} is allowed.", more, 1_000),
            { Lift: { } rule } => With(ask, piece, each => each with { WithoutRules = each.WithoutRules | rule }),
            _ => Refusal.Invalid("more", "Say what to change: more pieces, a rule less, or a bag of yarn."),
        };
    }

    private static PlanAsk With(PlanAsk ask, PlannedPiece piece, Func<AskedPiece, AskedPiece> change) => piece.Asked < ask.Pieces.Count
        ? ask with { Pieces = [.. ask.Pieces.Select((each, i) => i == piece.Asked ? change(each) : each)] }
        : ask with { Pieces = [.. ask.Pieces, change(new AskedPiece { WantedPieceId = piece.WantedPieceId })] };
}

/// <summary>Two plans beside each other.</summary>
/// <param name="Pieces">Kinds whose number changes.</param>
public sealed record PlanBeside(IReadOnlyList<PieceBeside> Pieces, int LotsNow, int LotsThen, double ChanceNow, double ChanceThen)
{
    public static PlanBeside Of(PlanResult now, PlanResult then)
    {
        Dictionary<string, PlannedPiece> before = now.Made.ToDictionary(each => each.Name), after = then.Made.ToDictionary(each => each.Name);
        return new(
            [.. now.Made.Concat(then.Made).DistinctBy(each => each.Name)
                .Select(each => new PieceBeside(each.Name, before.GetValueOrDefault(each.Name)?.Count ?? 0, after.GetValueOrDefault(each.Name)?.Count ?? 0, after.GetValueOrDefault(each.Name)?.Wanted ?? 0))],
            now.LotsOpened, then.LotsOpened, now.ChanceOfShort, then.ChanceOfShort);
    }
}

public sealed record PieceBeside(string Piece, int Now, int Then, int Wanted);
