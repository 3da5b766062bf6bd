using System.Globalization;
using System.Text;
using GuildStash.Domain.Relotting;
using static GuildStash.Web.Components.Shared.SvgNumbers;

namespace GuildStash.Web.Features.Relotting;

/// <summary>Bands of the picture as paths; one unit down is one row.</summary>
internal static class StrandShape
{
    public const double BarHeight = 0.14;

    /// <summary>Down along the left edge and up along the right one, bending between the points.</summary>
    public static string Path(StrandBand band)
    {
        StringBuilder path = new();
        StrandPoint first = band.Points[0];
        path.Append(CultureInfo.InvariantCulture, $"M{N(first.Left)} {N(first.Row)}");
        for (int i = 1; i < band.Points.Count; i++)
        {
            Bend(path, band.Points[i - 1], band.Points[i], 0);
        }

        path.Append(CultureInfo.InvariantCulture, $"L{N(band.Points[^1].Left + band.Breadth)} {N(band.Points[^1].Row)}");
        for (int i = band.Points.Count - 1; i > 0; i--)
        {
            Bend(path, band.Points[i], band.Points[i - 1], band.Breadth);
        }

        return path.Append('Z').ToString();
    }

    private static void Bend(StringBuilder path, StrandPoint from, StrandPoint to, double right)
    {
        string middle = N((from.Row + to.Row) / 2);
        path.Append(CultureInfo.InvariantCulture, $"C{N(from.Left + right)} {middle} {N(to.Left + right)} {middle} {N(to.Left + right)} {N(to.Row)}");
    }
}
