using GuildStash.Domain.Projects;

namespace GuildStash.Web.Features.Pieces;

/// <summary>A length that somebody wants to use.</summary>
/// <param name="Reckoning">Null: the maker's own figure.</param>
public sealed record Reckoned(LengthNeed Need, Reckoning? Reckoning);
