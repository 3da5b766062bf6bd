using System.Globalization;

namespace GuildStash.Web.Components.Shared;

/// <summary>Numbers in drawings: with a point whatever the reader's culture, and no longer than a screen can show.</summary>
public static class SvgNumbers
{
    /// <param name="value">In the drawing's units; kept to a thousandth.</param>
    public static string N(double value) => value.ToString("0.###", CultureInfo.InvariantCulture);
}
