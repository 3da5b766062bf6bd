namespace GuildStash.Domain.Yardage;

/// <summary>What is needed of the standard normal distribution and of Student's t.</summary>
public static class NormalCurve
{
    /// <summary>95 % point, z with Φ(z) = 0.95 (any statistical table).</summary>
    public const double NinetyFivePercent = 1.6448536269514722;

    /// <summary>
    /// Φ(z), the share below z; absolute error under 1e-14. Hart, <em>Computer Approximations</em> (1968), algorithm 5666, in the
    /// form of G. West, "Better approximations to cumulative normal functions", Wilmott (2005); coefficients from memory, checked
    /// against tables in the tests.
    /// </summary>
    public static double Below(double z)
    {
        double a = Math.Abs(z);
        double tail = 0;
        if (a < 37)
        {
            double e = Math.Exp(-a * a / 2);
            if (a < 7.07106781186547)
            {
                double top = (((((((((((0.0352624965998911 * a) + 0.700383064443688) * a) + 6.37396220353165) * a) + 33.912866078383) * a) + 112.079291497871) * a) + 221.213596169931) * a) + 220.206867912376;
                double bottom = (((((((((((((0.0883883476483184 * a) + 1.75566716318264) * a) + 16.064177579207) * a) + 86.7807322029461) * a) + 296.564248779674) * a) + 637.333633378831) * a) + 793.826512519948) * a) + 440.413735824752;
                tail = e * top / bottom;
            }
            else
            {
                tail = e / (a + (1 / (a + (2 / (a + (3 / (a + (4 / (a + 0.65))))))))) / 2.506628274631;
            }
        }

        return z > 0 ? 1 - tail : tail;
    }

    /// <summary>Density at z.</summary>
    public static double Density(double z) => 0.3989422804014327 * Math.Exp(-z * z / 2);

    /// <summary>Z with Φ(z) = p, for p in (0, 1): a rational start and three steps of Newton.</summary>
    public static double PointOf(double p)
    {
        if (p > 0.5)
        {
            return -PointOf(1 - p);
        }

        double t = Math.Sqrt(-2 * Math.Log(Math.Max(p, 1e-300)));
        // Abramowitz and Stegun, Handbook of Mathematical Functions, 26.2.23: within 4.5e-4.
        double z = -(t - ((2.515517 + (0.802853 * t) + (0.010328 * t * t)) / (1 + (1.432788 * t) + (0.189269 * t * t) + (0.001308 * t * t * t))));
        for (int i = 0; i < 3; i++)
        {
            z -= (Below(z) - p) / Math.Max(Density(z), 1e-300);
        }

        return z;
    }

    /// <summary>95 % point of Student's t, for 5 degrees of freedom or more within 2e-4 (Abramowitz and Stegun, 26.7.5).</summary>
    public static double StudentNinetyFivePercent(double freedom)
    {
        const double z = NinetyFivePercent;
        double z3 = z * z * z, z5 = z3 * z * z, z7 = z5 * z * z, z9 = z7 * z * z;
        double v = 1 / freedom;
        double g1 = (z3 + z) / 4;
        double g2 = ((5 * z5) + (16 * z3) + (3 * z)) / 96;
        double g3 = ((3 * z7) + (19 * z5) + (17 * z3) - (15 * z)) / 384;
        double g4 = ((79 * z9) + (776 * z7) + (1482 * z5) - (1920 * z3) - (945 * z)) / 92160;
        return z + (v * (g1 + (v * (g2 + (v * (g3 + (v * g4)))))));
    }
}
