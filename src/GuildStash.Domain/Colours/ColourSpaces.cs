namespace GuildStash.Domain.Colours;

/// <summary>CIE XYZ tristimulus values, D65, white at Y = 1.</summary>
public readonly record struct Xyz(double X, double Y, double Z);

/// <summary>CIE 1976 L*a*b*, D65: L 0 (black) to 100 (white).</summary>
public readonly record struct Lab(double L, double A, double B)
{
    private const double Epsilon = 216.0 / 24389;
    private const double Kappa = 24389.0 / 27;

    /// <summary>From CIE XYZ with the white point 0.95047, 1, 1.08883 (CIE 15).</summary>
    public static Lab FromXyz(Xyz xyz)
    {
        (double fx, double fy, double fz) = (F(xyz.X / 0.95047), F(xyz.Y), F(xyz.Z / 1.08883));
        return new((116 * fy) - 16, 500 * (fx - fy), 200 * (fy - fz));
    }

    private static double F(double t) => t > Epsilon ? Math.Cbrt(t) : ((Kappa * t) + 16) / 116;
}

/// <summary>OKLab: L 0 (black) to 1 (white). Matrices of B. Ottosson, "A perceptual color space for image processing", 2020.</summary>
public readonly record struct OkLab(double L, double A, double B)
{
    /// <summary>From CIE XYZ, D65.</summary>
    public static OkLab FromXyz(Xyz xyz) => FromConeResponse(
        (0.8189330101 * xyz.X) + (0.3618667424 * xyz.Y) - (0.1288597137 * xyz.Z),
        (0.0329845436 * xyz.X) + (0.9293118715 * xyz.Y) + (0.0361456387 * xyz.Z),
        (0.0482003018 * xyz.X) + (0.2643662691 * xyz.Y) + (0.6338517070 * xyz.Z));

    /// <summary>From linear sRGB, each 0 to 1; keeps greys exactly grey, where the way through rounded XYZ is off by 1e-4.</summary>
    public static OkLab FromLinearRgb(double r, double g, double b) => FromConeResponse(
        (0.4122214708 * r) + (0.5363325363 * g) + (0.0514459929 * b),
        (0.2119034982 * r) + (0.6806995451 * g) + (0.1073969566 * b),
        (0.0883024619 * r) + (0.2817188376 * g) + (0.6299787005 * b));

    private static OkLab FromConeResponse(double longWave, double mediumWave, double shortWave)
    {
        (double l, double m, double s) = (Math.Cbrt(longWave), Math.Cbrt(mediumWave), Math.Cbrt(shortWave));
        return new(
            (0.2104542553 * l) + (0.7936177850 * m) - (0.0040720468 * s),
            (1.9779984951 * l) - (2.4285922050 * m) + (0.4505937099 * s),
            (0.0259040371 * l) + (0.7827717662 * m) - (0.8086757660 * s));
    }
}

/// <summary>OKLab in polar form.</summary>
/// <param name="L">0 to 1.</param>
/// <param name="C">Chroma, 0 or more.</param>
/// <param name="H">Hue in degrees, from 0 up to but not including 360; without meaning where the chroma is next to 0.</param>
public readonly record struct OkLch(double L, double C, double H)
{
    public static OkLch FromOkLab(OkLab lab) =>
        new(lab.L, Math.Sqrt((lab.A * lab.A) + (lab.B * lab.B)), Angle.Degrees(lab.B, lab.A));
}

/// <summary>Angles of the colour circle.</summary>
internal static class Angle
{
    /// <summary>Direction of (x, y) in degrees, 0 up to but not including 360; 0 for the origin.</summary>
    public static double Degrees(double y, double x)
    {
        double degrees = Math.Atan2(y, x) * (180 / Math.PI);
        double turned = degrees < 0 ? degrees + 360 : degrees;
        return turned < 360 ? turned : 0;
    }
}
