using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Pieces;

/// <summary>A line of the piece book for a list to choose from.</summary>
/// <param name="IsRetired">No longer to be chosen anew.</param>
public sealed record PieceChoice(Guid Id, string Name, bool IsRetired);

/// <summary>Reads the piece book.</summary>
public sealed class PieceReader(GuildWork work)
{
    public const int MostChoices = 1_000;

    /// <summary>All lines by name, those in use first, at most <see cref="MostChoices"/>.</summary>
    public Task<Outcome<List<PieceChoice>>> ChoicesAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<List<PieceChoice>>(by, Role.Member, async act =>
            await act.Db.Pieces.OrderBy(p => p.RetiredAt != null).ThenBy(p => p.Name).ThenBy(p => p.Id).Take(MostChoices)
                .Select(p => new PieceChoice(p.Id, p.Name, p.RetiredAt != null)).ToListAsync(act.Cancellation), cancellation);
}
