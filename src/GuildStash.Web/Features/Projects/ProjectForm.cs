using GuildStash.Domain.Projects;
using GuildStash.Web.Features.Drafts;

namespace GuildStash.Web.Features.Projects;

/// <summary>A project while it is being typed; a new one is kept as a draft.</summary>
public sealed class ProjectForm : IDraftForm
{
    public const int MostPieces = WantedPieceList.MostPieces;

    /// <summary>One kind of wanted piece while it is being typed.</summary>
    public sealed class Piece
    {
        /// <summary>The row that it changes; null for a new one.</summary>
        public Guid? Id { get; init; }

        /// <summary>Kits or records of progress are about it, so it stays.</summary>
        public bool IsInUse { get; init; }

        public Guid? PieceId { get; set; }

        public decimal? Priority { get; set; } = 1;

        public string? Name { get; set; }

        public decimal? Wanted { get; set; }

        public string? Notes { get; set; }

        /// <summary>Nothing was typed into the row, so it is no piece.</summary>
        public bool IsBlank => Id is null && string.IsNullOrWhiteSpace(Name) && Wanted is null && PieceId is null && string.IsNullOrWhiteSpace(Notes);
    }

    /// <summary>A piece that was taken out, and where it stood.</summary>
    public sealed record Removed(Piece Piece, int At);

    /// <summary>Names this one saving, so that a repeated one does nothing.</summary>
    public Guid RequestId { get; set; } = Guid.CreateVersion7();

    public string? Name { get; set; }

    public string? Recipient { get; set; }

    public string? Description { get; set; }

    public RecipientRules Rules { get; set; }

    public DateOnly? Deadline { get; set; }

    public string? PublicName { get; set; }

    public List<Piece> Pieces { get; set; } = [new()];

    /// <summary>The one that was taken out last, and where it stood, until it is put back or the project is saved.</summary>
    public Removed? TakenOut { get; set; }

    /// <summary>Of the project that was read, so that another's change is not overwritten.</summary>
    public int Version { get; set; }

    public static ProjectForm Of(ProjectView project) => new()
    {
        Name = project.Name,
        Recipient = project.Recipient,
        Description = project.Description,
        Rules = project.Rules,
        Deadline = project.Deadline,
        PublicName = project.PublicName,
        Pieces = [.. project.Pieces.Select(p => new Piece
        {
            Id = p.Id,
            IsInUse = p.IsInUse,
            PieceId = p.PieceId,
            Priority = p.Priority,
            Name = p.Name,
            Wanted = p.Wanted,
            Notes = p.Notes,
        })],
        Version = project.Version,
    };

    public void Set(RecipientRules rule, bool on) => Rules = on ? Rules | rule : Rules & ~rule;

    public void TakeOut(Piece piece)
    {
        TakenOut = piece.IsBlank ? TakenOut : new(piece, Pieces.IndexOf(piece));
        Pieces.Remove(piece);
    }

    public void PutBack()
    {
        if (TakenOut is { } taken)
        {
            Pieces.Insert(Math.Min(taken.At, Pieces.Count), taken.Piece);
            TakenOut = null;
        }
    }

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
            PublicName = PublicName,
            Pieces = [.. Pieces.Select(p => new PieceInput(p.Name, Whole(p.Wanted), p.Notes) { Id = p.Id, PieceId = p.PieceId, Priority = p.Priority is null ? null : Whole(p.Priority) ?? 0 })],
        };
    }

    /// <summary>Two and a half hats are refused as none.</summary>
    private static int? Whole(decimal? number) => number is { } n && n == decimal.Truncate(n) && n is > int.MinValue and < int.MaxValue ? (int)n : null;
}
