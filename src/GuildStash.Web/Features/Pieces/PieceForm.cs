using GuildStash.Domain.Projects;
using GuildStash.Web.Infrastructure.Display;

namespace GuildStash.Web.Features.Pieces;

/// <summary>A piece while it is being typed.</summary>
public sealed class PieceForm
{
    /// <summary>Names this one saving, so that a repeated one does nothing.</summary>
    public Guid RequestId { get; set; } = Guid.CreateVersion7();

    public string? Name { get; set; }

    public PieceCraft Craft { get; set; }

    public bool ForInfants { get; set; }

    public decimal? Minutes { get; set; }

    public string? Notes { get; set; }

    public List<PartForm> Parts { get; } = [];

    /// <summary>The part that was taken out last, and where it stood.</summary>
    public (PartForm Part, int At)? TakenOut { get; private set; }

    /// <summary>Of the piece that was read when the typing began.</summary>
    public int Version { get; private init; }

    public static PieceForm Of(BookPiece piece, PersonDisplay display)
    {
        PieceForm form = new()
        {
            Name = piece.Name,
            Craft = piece.Craft,
            ForInfants = piece.ForInfants,
            Minutes = piece.Minutes,
            Notes = piece.Notes,
            Version = piece.Version,
        };
        foreach (BookPart part in piece.Parts)
        {
            form.Parts.Add(PartForm.Of(part, form.Parts, display));
        }

        return form;
    }

    public static PieceForm Of(PieceDraft draft, PersonDisplay display)
    {
        bool sameUnit = draft.Unit == display.Unit;
        PieceForm form = new()
        {
            RequestId = draft.RequestId,
            Name = draft.Name,
            Craft = draft.Craft,
            ForInfants = draft.ForInfants,
            Minutes = draft.Minutes,
            Notes = draft.Notes,
            Version = draft.Version,
        };
        form.Parts.AddRange(draft.Parts.Select(part => PartForm.Of(part, display, sameUnit)));
        form.TakenOut = draft.TakenOut is { } taken ? (PartForm.Of(taken, display, sameUnit), draft.TakenOutAt) : null;
        IReadOnlyList<PartForm> all = form.All;
        foreach ((PartForm part, PartDraft kept) in all.Zip(draft.All))
        {
            part.Other = all.ElementAtOrDefault(kept.Other);
        }

        return form;
    }

    public PieceDraft ToDraft(PersonDisplay display) => new(this)
    {
        RequestId = RequestId,
        Unit = display.Unit,
        Name = Name,
        Craft = Craft,
        ForInfants = ForInfants,
        Minutes = Minutes,
        Notes = Notes,
        Version = Version,
        Parts = [.. Parts.Select(part => part.ToDraft(All))],
        TakenOut = TakenOut?.Part.ToDraft(All),
        TakenOutAt = TakenOut?.At ?? 0,
    };

    /// <summary>The parts, and behind them the one that was taken out.</summary>
    private IReadOnlyList<PartForm> All => TakenOut is { } taken ? [.. Parts, taken.Part] : Parts;

    public void TakeOut(PartForm part)
    {
        TakenOut = (part, Parts.IndexOf(part));
        Parts.Remove(part);
    }

    public void PutBack()
    {
        if (TakenOut is { } taken)
        {
            Parts.Insert(Math.Min(taken.At, Parts.Count), taken.Part);
            TakenOut = null;
        }
    }

    public BookPieceInput ToInput() => new()
    {
        Name = Name,
        Craft = Craft,
        ForInfants = ForInfants,
        Minutes = Minutes is null ? null : Whole(Minutes) ?? 0,
        Notes = Notes,
        Parts = [.. Parts.Select(part => part.ToInput())],
    };

    /// <summary>Two and a half strands are refused as none.</summary>
    internal static int? Whole(decimal? number) => number is { } n && n == decimal.Truncate(n) && n is > int.MinValue and < int.MaxValue ? (int)n : null;
}
