using System.Diagnostics.CodeAnalysis;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Fibres;

/// <summary>The fibres that can be recorded; codes from memory after DIN 60001, names after Regulation (EU) 1007/2011 annex I.</summary>
public static class FibreTable
{
    /// <summary>In the order in which they are offered: animal, plant, regenerated, synthetic, metallic.</summary>
    public static IReadOnlyList<Fibre> All { get; } =
    [
        Animal("WO", "wool", isWool: true, density: 1.31),
        Animal("WV", "virgin wool", isWool: true, density: 1.31),
        Animal("WM", "mohair"),
        Animal("WP", "alpaca"),
        Animal("WS", "cashmere"),
        Animal("WA", "angora"),
        Animal("SE", "silk", density: 1.34),
        Other("CO", "cotton", FibreKind.Plant, 1.52),
        Other("LI", "linen", FibreKind.Plant),
        Other("HA", "hemp", FibreKind.Plant),
        Other("CV", "viscose", FibreKind.Regenerated, 1.49),
        Other("CMD", "modal", FibreKind.Regenerated),
        Other("CLY", "lyocell", FibreKind.Regenerated),
        Other("PAN", "acrylic", FibreKind.Synthetic, 1.19),
        Other("PA", "polyamide", FibreKind.Synthetic, 1.14),
        Other("PES", "polyester", FibreKind.Synthetic, 1.39),
        Other("EL", "elastane", FibreKind.Synthetic),
        Other("ME", "metallic", FibreKind.Metallic),
    ];

    private static readonly Dictionary<string, Fibre> ByCode = All.ToDictionary(fibre => fibre.Code, StringComparer.OrdinalIgnoreCase);

    /// <summary>Finds a fibre by its code, in any case, spaces around it ignored.</summary>
    public static bool TryFind(string? code, [NotNullWhen(true)] out Fibre? fibre)
    {
        fibre = null;
        return code is not null && ByCode.TryGetValue(code.Trim(), out fibre);
    }

    private static Fibre Animal(string code, string name, bool isWool = false, double? density = null) =>
        new(code, new Phrase(name), FibreKind.Animal, isWool, AttractsPests: true, density);

    private static Fibre Other(string code, string name, FibreKind kind, double? density = null) =>
        new(code, new Phrase(name), kind, IsWool: false, AttractsPests: false, density);
}
