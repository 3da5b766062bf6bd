using GuildStash.Domain.Colours;
using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Web.Features.Wanted;

/// <summary>Pieces that can't be made for want of a yarn.</summary>
/// <param name="Project">Null where it is of no project, or of one that is not for everybody's eyes.</param>
/// <param name="PublicName">Of the project; null where members alone see it.</param>
public sealed record WantedFor(string Piece, int Missing, string? Project, Guid? ProjectId, string? PublicName);

/// <summary>Yarn of one kind that is lacking.</summary>
/// <param name="Classes">Any of these; empty where a window of lengths decides.</param>
/// <param name="Family">Null where any colour will do.</param>
/// <param name="Mg">About what the length weighs; null where nobody can say.</param>
public sealed record WantedLine(IReadOnlyList<WeightClass> Classes, ColourFamily? Family, double Metres, long? Mg, IReadOnlyList<WantedFor> For);

/// <summary>What a recipient of the lines accepts.</summary>
/// <param name="Project">Null: one or several that are not for everybody's eyes.</param>
public sealed record WantedRules(string? Project, RecipientRules Rules);

/// <summary>A project with a page for everybody.</summary>
public sealed record PublicDrive(string Project, string PublicName);

/// <summary>A wanted piece of which nobody has said what yarn it takes.</summary>
public sealed record UnsaidPiece(Guid ProjectId, string Project, Guid WantedPieceId, string Piece, int Wanted);

/// <summary>What the guild lacks, as a page, a poster and a text tell it. It names no person.</summary>
public sealed record WantedSheet
{
    public required string GuildName { get; init; }

    public string GuildAddress { get; init; } = "";

    /// <summary>Everybody may see it.</summary>
    public bool IsPublic { get; init; }

    /// <summary>When it was reckoned; null: never.</summary>
    public DateTimeOffset? AsOf { get; init; }

    /// <summary>A newer reckoning waits or runs.</summary>
    public bool IsRunning { get; init; }

    /// <summary>The longest first.</summary>
    public IReadOnlyList<WantedLine> Lines { get; init; } = [];

    /// <summary>Of the projects of the lines, those that have rules.</summary>
    public IReadOnlyList<WantedRules> Rules { get; init; } = [];

    /// <summary>The first of them, for members; empty for everybody else.</summary>
    public IReadOnlyList<UnsaidPiece> Unsaid { get; init; } = [];

    /// <summary>How many there are, shown or not.</summary>
    public int UnsaidCount { get; init; }

    /// <summary>Open projects whose progress everybody may see, for members; empty for everybody else.</summary>
    public IReadOnlyList<PublicDrive> Drives { get; init; } = [];

    /// <summary>Names of the projects that stand in it, in the order of the lines.</summary>
    public IReadOnlyList<string> Projects => [.. Lines.SelectMany(line => line.For).Select(piece => piece.Project).OfType<string>().Distinct()];
}
