namespace GuildStash.Printing;

/// <summary>What stands on a bin. Carries no person's name, since anybody in the room reads it.</summary>
/// <param name="Code">Bin code as people read it, for instance "K7M-S".</param>
/// <param name="Url">Where the code leads: the bin's page; see <see cref="QrLink.For"/>.</param>
/// <param name="Name">What the guild calls the bin, or null.</param>
/// <param name="Place">Shelf or room, or null.</param>
/// <param name="Site">Site, or null where the guild has only one.</param>
/// <param name="IsQuarantine">Prints the word and a hatched border.</param>
public sealed record BinLabel(
    string Code,
    string Url,
    string? Name = null,
    string? Place = null,
    string? Site = null,
    bool IsQuarantine = false);
