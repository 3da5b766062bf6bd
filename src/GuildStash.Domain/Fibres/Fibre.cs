using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Fibres;

/// <summary>Where a fibre comes from.</summary>
public enum FibreKind
{
    Animal = 0,
    Plant = 1,
    Regenerated = 2,
    Synthetic = 3,
    Metallic = 4,
}

/// <summary>One generic fibre.</summary>
/// <param name="Code">Code as on ball bands (from memory, DIN 60001).</param>
/// <param name="Name">Generic name, in lower case as within a sentence.</param>
/// <param name="Kind">Where it comes from.</param>
/// <param name="IsWool">From the fleece of sheep; hair of goats, alpacas and rabbits is not.</param>
/// <param name="AttractsPests">Whether larvae of clothes moths and carpet beetles feed on it (NC State Extension; silk sometimes).</param>
/// <param name="Density">g/cm³ (Morton and Hearle, Physical Properties of Textile Fibres, table 5.1, and others as <see cref="FibreTable"/> says); null where none is known.</param>
public sealed record Fibre(string Code, Phrase Name, FibreKind Kind, bool IsWool, bool AttractsPests, double? Density);
