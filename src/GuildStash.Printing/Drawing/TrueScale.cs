namespace GuildStash.Printing.Drawing;

/// <summary>What proves that a printer did not scale: rules of 100 mm and the outline of a bank card.</summary>
internal static class TrueScale
{
    /// <summary>Length of the rules, mm.</summary>
    public const double RuleLength = 100;

    /// <summary>ISO/IEC 7810, ID-1, mm.</summary>
    public const double CardWidth = 85.60;

    /// <inheritdoc cref="CardWidth"/>
    public const double CardHeight = 53.98;

    public const double Hairline = 0.2;

    private const double CardRadius = 3.18;

    /// <summary>Along the page, its millimetres below the line.</summary>
    public static void Rule(Canvas canvas, double x, double y)
    {
        canvas.Stroke(x, y, x + RuleLength, y, Hairline, Ink.Text);
        for (int tick = 0; tick <= RuleLength; tick++)
        {
            canvas.Stroke(x + tick, y, x + tick, y + TickLength(tick), Hairline, Ink.Text);
            if (tick % 10 == 0)
            {
                Number(canvas, tick, new Box(x + tick - 4, y + 6, 8, 4), Align.Centre);
            }
        }
    }

    /// <summary>Down the page, its millimetres to the right of the line: a printer may scale one direction only.</summary>
    public static void UprightRule(Canvas canvas, double x, double y)
    {
        canvas.Stroke(x, y, x, y + RuleLength, Hairline, Ink.Text);
        for (int tick = 0; tick <= RuleLength; tick++)
        {
            canvas.Stroke(x, y + tick, x + TickLength(tick), y + tick, Hairline, Ink.Text);
            if (tick % 10 == 0)
            {
                Number(canvas, tick, new Box(x + 6, y + tick - 2, 8, 4), Align.Left);
            }
        }
    }

    /// <summary>The outline of a bank card from its top left corner.</summary>
    public static void Card(Canvas canvas, double x, double y) =>
        canvas.RoundedOutline(new Box(x, y, CardWidth, CardHeight), CardRadius, Hairline, Ink.Text);

    /// <summary>A figure at a tick; a screen reader skips it with the rule.</summary>
    public static void Number(Canvas canvas, int tick, Box box, Align align) =>
        canvas.Artifact(() => canvas.Middle(tick.ToString(System.Globalization.CultureInfo.InvariantCulture), box, new TextStyle(7), align));

    private static double TickLength(int tick) => tick % 10 == 0 ? 5 : tick % 5 == 0 ? 3.5 : 2;
}
