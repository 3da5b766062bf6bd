namespace GuildStash.Domain.Colours;

/// <summary>How different two colours look.</summary>
public static class ColourDifference
{
    /// <summary>
    /// CIEDE2000 with all weights 1. Names follow G. Sharma, W. Wu, E. N. Dalal, "The CIEDE2000 color-difference formula",
    /// Color Res. Appl. 30(1), 2005. Symmetric; 0 for equal colours; about 1 is just visible side by side.
    /// </summary>
    public static double Ciede2000(Lab one, Lab two)
    {
        double meanCab7 = Math.Pow((Hypotenuse(one.A, one.B) + Hypotenuse(two.A, two.B)) / 2, 7);
        double g = 0.5 * (1 - Math.Sqrt(meanCab7 / (meanCab7 + TwentyFiveTo7)));
        (double a1, double a2) = ((1 + g) * one.A, (1 + g) * two.A);
        (double c1, double c2) = (Hypotenuse(a1, one.B), Hypotenuse(a2, two.B));
        (double h1, double h2) = (Angle.Degrees(one.B, a1), Angle.Degrees(two.B, a2));

        bool grey = c1 * c2 == 0;
        double deltaL = two.L - one.L;
        double deltaC = c2 - c1;
        double deltaH = 2 * Math.Sqrt(c1 * c2) * Sin((grey ? 0 : Shortest(h2 - h1)) / 2);

        double meanC = (c1 + c2) / 2;
        double meanH = grey ? h1 + h2 : MeanHue(h1, h2);
        double t = 1 - (0.17 * Cos(meanH - 30)) + (0.24 * Cos(2 * meanH)) + (0.32 * Cos((3 * meanH) + 6)) - (0.20 * Cos((4 * meanH) - 63));
        double fromMidL = Math.Pow(((one.L + two.L) / 2) - 50, 2);
        double sL = 1 + (0.015 * fromMidL / Math.Sqrt(20 + fromMidL));
        double sC = 1 + (0.045 * meanC);
        double sH = 1 + (0.015 * meanC * t);
        double meanC7 = Math.Pow(meanC, 7);
        double rC = 2 * Math.Sqrt(meanC7 / (meanC7 + TwentyFiveTo7));
        double rT = -Sin(60 * Math.Exp(-Math.Pow((meanH - 275) / 25, 2))) * rC;

        (double l, double c, double h) = (deltaL / sL, deltaC / sC, deltaH / sH);
        return Math.Sqrt((l * l) + (c * c) + (h * h) + (rT * c * h));
    }

    private const double TwentyFiveTo7 = 6103515625;

    private static double Hypotenuse(double a, double b) => Math.Sqrt((a * a) + (b * b));

    private static double Sin(double degrees) => Math.Sin(degrees * (Math.PI / 180));

    private static double Cos(double degrees) => Math.Cos(degrees * (Math.PI / 180));

    private static double Shortest(double degrees) => degrees switch
    {
        > 180 => degrees - 360,
        < -180 => degrees + 360,
        _ => degrees,
    };

    private static double MeanHue(double h1, double h2)
    {
        double mean = (h1 + h2) / 2;
        return Math.Abs(h1 - h2) <= 180 ? mean : mean < 180 ? mean + 180 : mean - 180;
    }
}
