using GuildStash.Printing.Drawing;

namespace GuildStash.Printing;

/// <summary>A sheet of plain paper, upright.</summary>
/// <param name="Key">Stable key for links.</param>
/// <param name="Name">Name that needs no translation.</param>
/// <param name="Width">mm.</param>
/// <param name="Height">mm.</param>
public sealed record PaperSize(string Key, string Name, double Width, double Height)
{
    private const double Inch = 25.4;

    /// <summary>ISO 216.</summary>
    public static PaperSize A4 { get; } = new("a4", "A4", Paper.A4Width, Paper.A4Height);

    /// <summary>8½ × 11 in (ANSI/ASME Y14.1, size A, from memory).</summary>
    public static PaperSize Letter { get; } = new("letter", "Letter", 8.5 * Inch, 11 * Inch);

    public static IReadOnlyList<PaperSize> All { get; } = [A4, Letter];

    /// <summary>The size with this key, upper and lower case counting as the same; null where there is none.</summary>
    public static PaperSize? Find(string? key) => All.FirstOrDefault(size => string.Equals(size.Key, key?.Trim(), StringComparison.OrdinalIgnoreCase));
}
