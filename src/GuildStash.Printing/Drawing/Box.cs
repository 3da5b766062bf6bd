namespace GuildStash.Printing.Drawing;

/// <summary>A rectangle on the page, millimetres from its top left corner.</summary>
internal readonly record struct Box(double X, double Y, double Width, double Height)
{
    public double Right => X + Width;

    public double Bottom => Y + Height;

    public double MiddleY => Y + (Height / 2);

    public Box Deflate(double horizontal, double vertical) =>
        new(X + horizontal, Y + vertical, Math.Max(0, Width - (2 * horizontal)), Math.Max(0, Height - (2 * vertical)));
}

/// <summary>Where a line of text stands in its box.</summary>
internal enum Align
{
    Left = 0,
    Centre = 1,
    Right = 2,
}

/// <summary>Size in points, weight and colour of text.</summary>
internal readonly record struct TextStyle(double Size, bool Bold = false, bool Soft = false)
{
    /// <summary>Height of capitals of Noto Sans as a fraction of the size (font table OS/2: 714 of 1000).</summary>
    private const double CapShare = 0.714;

    private const double LineShare = 1.32;

    public double CapHeight => Size * CapShare * Canvas.MillimetresPerPoint;

    /// <summary>Distance between the baselines of two lines, mm.</summary>
    public double LineHeight => Size * LineShare * Canvas.MillimetresPerPoint;
}
