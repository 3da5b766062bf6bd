using System.Collections.Concurrent;

namespace GuildStash.Domain.Colours;

/// <summary>
/// Names for colours: the nearest of the 267 ISCC–NBS centroids and four of our own by CIEDE2000. A cut by chroma would call
/// dark greens and blues grey, so none is made.
/// </summary>
public static class ColourNames
{
    /// <summary>More colours than a guild has yarn of; beyond it the memory starts anew.</summary>
    private const int MostRemembered = 10_000;

    private static readonly Centroid[] Centroids = Read();

    /// <summary>A list of lots asks for the same colours again and again, and one answer takes 271 differences.</summary>
    private static readonly ConcurrentDictionary<Colour, (ColourFamily Family, string Name)> Remembered = new();

    /// <summary>All names that can come out, for translation.</summary>
    public static IEnumerable<string> All => Centroids.Select(centroid => centroid.Name).Distinct();

    /// <summary>Family and name of a colour, for instance "greyish blue". A suggestion: a person's choice is never recomputed.</summary>
    /// <returns>Never <see cref="ColourFamily.Multicolour"/>.</returns>
    public static (ColourFamily Family, string Name) Describe(Colour colour)
    {
        if (Remembered.Count >= MostRemembered)
        {
            Remembered.Clear();
        }

        return Remembered.GetOrAdd(colour, Nearest);
    }

    private static (ColourFamily Family, string Name) Nearest(Colour colour)
    {
        Lab lab = colour.Lab;
        Centroid nearest = Centroids.MinBy(centroid => ColourDifference.Ciede2000(centroid.Lab, lab))!;
        return (nearest.Family, nearest.Name);
    }

    private static Centroid[] Read()
    {
        using Stream stream = typeof(ColourNames).Assembly.GetManifestResourceStream("GuildStash.Domain.Colours.iscc-nbs.csv")
            ?? throw new InvalidOperationException("The colour names are missing from the program.");
        using StreamReader reader = new(stream);
        return [.. reader.ReadToEnd().Split('\n', StringSplitOptions.RemoveEmptyEntries).Where(line => char.IsAsciiDigit(line[0])).Select(FromLine)];
    }

    private static Centroid FromLine(string line)
    {
        string[] cells = line.TrimEnd('\r').Split(',');
        return Colour.TryParse(cells[2], out Colour colour) && ColourFamilyTerms.TryParse(cells[3], out ColourFamily family)
            ? new(cells[1], family, colour.Lab)
            : throw new InvalidOperationException($"A colour name can't be read: {line}");
    }

    private sealed record Centroid(string Name, ColourFamily Family, Lab Lab);
}
