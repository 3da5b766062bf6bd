using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Projects;

/// <summary>Area of a flat piece of fabric, kept in square centimetres.</summary>
public readonly record struct FabricArea
{
    private const double CentimetresPerInch = 2.54;
    private const double MostCentimetres = 1_000;

    private FabricArea(double squareCentimetres) => SquareCentimetres = squareCentimetres;

    public double SquareCentimetres { get; }

    public double SquareInches => SquareCentimetres / CentimetresPerInch / CentimetresPerInch;

    /// <param name="width">0.1 to 1,000 cm; for a tube such as a hat its circumference.</param>
    /// <param name="height">0.1 to 1,000 cm.</param>
    /// <exception cref="ArgumentOutOfRangeException">Out of range.</exception>
    public static FabricArea FromCentimetres(double width, double height) =>
        new(Guard.InRange(width, 0.1, MostCentimetres, nameof(width)) * Guard.InRange(height, 0.1, MostCentimetres, nameof(height)));

    /// <summary>As <see cref="FromCentimetres"/>, in inches (1 in = 2.54 cm, exact).</summary>
    /// <exception cref="ArgumentOutOfRangeException">Less than 0.1 cm or more than 1,000 cm.</exception>
    public static FabricArea FromInches(double width, double height) => FromCentimetres(width * CentimetresPerInch, height * CentimetresPerInch);
}
