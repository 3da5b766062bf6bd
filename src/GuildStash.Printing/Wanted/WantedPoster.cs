using GuildStash.Domain.Rules;

namespace GuildStash.Printing;

/// <summary>One kind of yarn that is asked for.</summary>
public sealed record WantedPosterLine
{
    private const double LongestMetres = 10_000_000;
    private const long HeaviestMilligrams = 1_000_000_000;

    /// <param name="classes">Any of these will do; empty where the thickness has to be asked for.</param>
    /// <param name="colour">Its family; null where any colour will do.</param>
    /// <param name="metres">How much is lacking, 0 to 10,000 km.</param>
    /// <param name="milligrams">About what that weighs, 0 to 1,000 kg; null where nobody can say.</param>
    /// <param name="pieces">What it is for: number and name.</param>
    /// <exception cref="ArgumentOutOfRangeException">A figure out of its range, or NaN.</exception>
    public WantedPosterLine(
        IReadOnlyList<PrintedWeightClass> classes, PrintedColour? colour, double metres, long? milligrams, IReadOnlyList<(int Number, string Name)> pieces)
    {
        Classes = classes;
        Colour = colour;
        Metres = Guard.InRange(metres, 0, LongestMetres, nameof(metres));
        Milligrams = milligrams is { } mass ? Guard.InRange(mass, 0L, HeaviestMilligrams, nameof(milligrams)) : null;
        Pieces = pieces;
    }

    public IReadOnlyList<PrintedWeightClass> Classes { get; }

    public PrintedColour? Colour { get; }

    public double Metres { get; }

    public long? Milligrams { get; }

    public IReadOnlyList<(int Number, string Name)> Pieces { get; }
}

/// <summary>A poster that asks for yarn.</summary>
public sealed record WantedPoster
{
    public required string GuildName { get; init; }

    /// <summary>Where and when yarn is taken; may be empty.</summary>
    public string Address { get; init; } = "";

    /// <summary>For whom: names of projects that everybody may read; may be empty.</summary>
    public IReadOnlyList<string> For { get; init; } = [];

    /// <summary>The most wanted first.</summary>
    public required IReadOnlyList<WantedPosterLine> Lines { get; init; }

    /// <summary>Day on which it was reckoned.</summary>
    public DateOnly AsOf { get; init; }

    /// <summary>Of the page that everybody may open; null: no code is printed.</summary>
    public string? Url { get; init; }
}
