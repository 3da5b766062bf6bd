using GuildStash.Domain.Projects;

namespace GuildStash.Web.Features.Projects;

/// <summary>A project while it is being typed.</summary>
public sealed class ProjectForm
{
    public const int MostPieces = ProjectFields.MostPieces;

    /// <summary>One kind of wanted piece while it is being typed.</summary>
    public sealed class Piece
    {
        public string? Name { get; set; }

        public decimal? Wanted { get; set; }

        public string? Notes { get; set; }

        /// <summary>Nothing was typed into the row, so it is no piece.</summary>
        public bool IsBlank => string.IsNullOrWhiteSpace(Name) && Wanted is null && string.IsNullOrWhiteSpace(Notes);
    }

    public string? Name { get; set; }

    public string? Recipient { get; set; }

    public string? Description { get; set; }

    public RecipientRules Rules { get; private set; }

    public DateOnly? Deadline { get; set; }

    public List<Piece> Pieces { get; private set; } = [new()];

    /// <summary>Of the project that was read, so that another's change is not overwritten.</summary>
    public int Version { get; private set; }

    public static ProjectForm Of(ProjectView project) => new()
    {
        Name = project.Name,
        Recipient = project.Recipient,
        Description = project.Description,
        Rules = project.Rules,
        Deadline = project.Deadline,
        Pieces = [.. project.Pieces.Select(p => new Piece { Name = p.Name, Wanted = p.Wanted, Notes = p.Notes })],
        Version = project.Version,
    };

    public void Set(RecipientRules rule, bool on) => Rules = on ? Rules | rule : Rules & ~rule;

    /// <summary>What is saved. Blank rows are dropped from the form as well, so that refusals name the rows that are seen.</summary>
    public ProjectInput ToInput()
    {
        Pieces.RemoveAll(p => p.IsBlank);
        return new ProjectInput
        {
            Name = Name,
            Recipient = Recipient,
            Description = Description,
            Rules = Rules,
            Deadline = Deadline,
            Pieces = [.. Pieces.Select(p => new PieceInput(p.Name, Whole(p.Wanted), p.Notes))],
        };
    }

    /// <summary>Two and a half hats are refused as none.</summary>
    private static int? Whole(decimal? number) => number is { } n && n == decimal.Truncate(n) && n is > int.MinValue and < int.MaxValue ? (int)n : null;
}
