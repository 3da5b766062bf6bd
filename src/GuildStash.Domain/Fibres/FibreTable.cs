using System.Diagnostics.CodeAnalysis;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Fibres;

/// <summary>The fibres that can be recorded; codes from memory after DIN 60001, names after Regulation (EU) 1007/2011 annex I.</summary>
public static class FibreTable
{
    /// <summary>In the order in which they are offered: animal, plant, regenerated, synthetic, metallic.</summary>
    /// <remarks>
    /// Densities of wool, silk, cotton, viscose, acrylic, polyamide, polyester and polypropylene: Morton and Hearle, table 5.1. Mohair,
    /// alpaca and cashmere as wool, whose substance they share (judgement; angora is hollow and has none). Linen, hemp, modal, lyocell,
    /// acetate and elastane from memory.
    /// </remarks>
    public static IReadOnlyList<Fibre> All { get; } =
    [
        Animal("WO", "wool", isWool: true, density: 1.31),
        Animal("WV", "virgin wool", isWool: true, density: 1.31),
        Animal("WM", "mohair", density: 1.31),
        Animal("WP", "alpaca", density: 1.31),
        Animal("WS", "cashmere", density: 1.31),
        Animal("WA", "angora"),
        Animal("SE", "silk", density: 1.34),
        Other("CO", "cotton", FibreKind.Plant, 1.52),
        Other("LI", "linen", FibreKind.Plant, 1.50),
        Other("HA", "hemp", FibreKind.Plant, 1.48),
        Other("CV", "viscose", FibreKind.Regenerated, 1.49),
        Other("CMD", "modal", FibreKind.Regenerated, 1.52),
        Other("CLY", "lyocell", FibreKind.Regenerated, 1.52),
        Other("CA", "acetate", FibreKind.Regenerated, 1.31),
        Other("PAN", "acrylic", FibreKind.Synthetic, 1.19),
        Other("PA", "polyamide", FibreKind.Synthetic, 1.14),
        Other("PES", "polyester", FibreKind.Synthetic, 1.39),
        Other("PP", "polypropylene", FibreKind.Synthetic, 0.91),
        Other("EL", "elastane", FibreKind.Synthetic, 1.2),
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
