namespace GuildStash.Domain.Colours;

/// <summary>Contrast after WCAG 2.2.</summary>
public static class Contrast
{
    /// <summary>Least contrast of body text against its ground.</summary>
    public const double Text = 4.5;

    /// <summary>Least contrast of graphics and outlines against their ground.</summary>
    public const double Graphics = 3;

    // Where black and white text contrast equally: (Y + 0.05)² = 1.05 · 0.05 (computed).
    private const double EqualLuminance = 0.179;

    /// <summary>Contrast ratio, 1 (equal) to 21 (black and white), in either order.</summary>
    public static double Ratio(Colour one, Colour two)
    {
        (double a, double b) = (one.RelativeLuminance, two.RelativeLuminance);
        return (Math.Max(a, b) + 0.05) / (Math.Min(a, b) + 0.05);
    }

    /// <summary>Black or white, whichever is better to read on the ground; the ratio is never under 4.58.</summary>
    public static Colour TextOn(Colour ground) => ground.RelativeLuminance > EqualLuminance ? Colour.Black : Colour.White;
}
