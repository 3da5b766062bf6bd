using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Pieces;

namespace GuildStash.Web.Features.Demo;

/// <summary>Writes the demo's piece book: the common pieces, then those that the invented guild makes its own way.</summary>
internal sealed class DemoPieceBook(DemoGuild demo, Guid coordinator)
{
    /// <returns>The pieces by name.</returns>
    public async Task<IReadOnlyDictionary<string, Guid>> WriteAsync(DemoScenario scenario, DemoMoment at, CancellationToken cancellation)
    {
        await demo.DoAsync<BeginPieceBook, int>(at, u => u.RunAsync(coordinator, cancellation));
        foreach (BookPieceInput piece in scenario.PieceBook)
        {
            BookPieceInput reckoned = piece with { Parts = [.. piece.Parts.Select(Reckoned)] };
            await demo.DoAsync<CreatePiece, Guid>(at, u => u.RunAsync(coordinator, reckoned, cancellation));
        }

        List<PieceChoice> choices = await demo.DoAsync<PieceReader, List<PieceChoice>>(at, u => u.ChoicesAsync(coordinator, cancellation));
        return choices.ToDictionary(choice => choice.Name, choice => choice.Id);
    }

    /// <summary>The scenario says how a length was found; the length follows.</summary>
    private static BookPartInput Reckoned(BookPartInput part)
    {
        if (part.Reckoning is null)
        {
            return part;
        }

        Outcome<LengthNeed> need = Reckoner.Need(part.Reckoning);
        return part with { MetresLow = need.Value.Low.Metres, MetresLikely = need.Value.Likely.Metres, MetresSafe = need.Value.Safe.Metres };
    }
}
