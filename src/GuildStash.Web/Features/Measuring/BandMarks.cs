using GuildStash.Domain.Bands;

namespace GuildStash.Web.Features.Measuring;

/// <summary>What became of a stretch of a band's words.</summary>
public enum BandMark
{
    /// <summary>Spaces and punctuation between the pieces.</summary>
    Between = 0,

    Understood = 1,

    /// <summary>Out of range, or contradicted by something else.</summary>
    Doubtful = 2,

    NotUnderstood = 3,
}

/// <summary>A stretch of the words as typed.</summary>
public sealed record MarkedPiece(string Text, BandMark Mark);

/// <summary>Cuts a band's words at the pieces that were read from them.</summary>
public static class BandMarks
{
    /// <summary>The whole text in order, so that the stretches joined are the text again.</summary>
    public static IReadOnlyList<MarkedPiece> Of(BandText text)
    {
        HashSet<BandPiece> doubtful = [.. text.Conflicts.SelectMany(conflict => conflict.Pieces), .. text.Refusals.SelectMany(refusal => refusal.Pieces)];
        IEnumerable<(BandPiece Piece, BandMark Mark)> marked = text.Fields.SelectMany(field => field.Pieces)
            .Concat(doubtful)
            .Distinct()
            .Select(piece => (piece, doubtful.Contains(piece) ? BandMark.Doubtful : BandMark.Understood))
            .Concat(text.NotUnderstood.Select(piece => (piece, BandMark.NotUnderstood)));
        List<MarkedPiece> all = [];
        int at = 0;
        foreach ((BandPiece piece, BandMark mark) in marked.OrderBy(each => each.Piece.Start))
        {
            Add(all, text.Text[at..Math.Max(at, piece.Start)], BandMark.Between);
            Add(all, text.Text[Math.Max(at, piece.Start)..Math.Max(at, piece.End)], mark);
            at = Math.Max(at, piece.End);
        }

        Add(all, text.Text[at..], BandMark.Between);
        return all;
    }

    private static void Add(List<MarkedPiece> all, string text, BandMark mark)
    {
        if (text.Length > 0)
        {
            all.Add(new(text, mark));
        }
    }
}
