using GuildStash.Domain.Projects;

namespace GuildStash.Web.Features.Drives;

/// <summary>How far one kind of pieces is.</summary>
/// <param name="Name">As the project names it.</param>
/// <param name="InHand">Finished and not handed to the recipient yet; zero or more.</param>
/// <param name="Delivered">Handed to the recipient; zero or more, and more than wanted where more was made.</param>
public sealed record DrivePiece(string Name, int Wanted, int InHand, int Delivered)
{
    /// <summary>Still to be made.</summary>
    public int Missing => Math.Max(0, Wanted - Delivered - InHand);
}

/// <summary>What everybody may see of a project that has a public name: no person, no donor, no lot, no note.</summary>
/// <param name="AsOf">When it was read.</param>
public sealed record DriveView(
    string Name, string Recipient, DateOnly? Deadline, bool IsLate, bool IsClosed, RecipientRules Rules, IReadOnlyList<DrivePiece> Pieces,
    string GuildName, string GuildAddress, bool WantedIsPublic, DateTimeOffset AsOf)
{
    public int Wanted => Pieces.Sum(p => p.Wanted);

    public int InHand => Pieces.Sum(p => p.InHand);

    public int Delivered => Pieces.Sum(p => p.Delivered);

    /// <summary>Of all kinds: too many hats don't make up for missing scarves.</summary>
    public int Missing => Pieces.Sum(p => p.Missing);
}

/// <summary>A record of pieces, summed up.</summary>
/// <param name="WantedPieceId">The kind; null where it was noted for the project only.</param>
public sealed record DriveSum(Guid? WantedPieceId, string PieceName, PieceStep Step, int Pieces);

/// <summary>Puts the records of a project beside what it wants.</summary>
public static class DriveFigures
{
    /// <param name="wanted">Kinds in the project's order.</param>
    /// <param name="sums">Records by kind and step, with what was taken back taken off.</param>
    /// <returns>The wanted kinds, then those that were made beside them, by name, with nothing wanted.</returns>
    public static IReadOnlyList<DrivePiece> Of(IReadOnlyList<(Guid Id, string Name, int Wanted)> wanted, IReadOnlyList<DriveSum> sums)
    {
        Dictionary<string, Guid> byName = wanted.GroupBy(w => w.Name, StringComparer.OrdinalIgnoreCase).ToDictionary(g => g.Key, g => g.First().Id, StringComparer.OrdinalIgnoreCase);
        HashSet<Guid> ids = [.. wanted.Select(w => w.Id)];

        // A record without its kind belongs to the one of that name, if there is one.
        Guid? KindOf(DriveSum sum) => sum.WantedPieceId is { } id && ids.Contains(id) ? id : byName.TryGetValue(sum.PieceName, out Guid named) ? named : null;

        ILookup<Guid?, DriveSum> byKind = sums.ToLookup(KindOf);
        IEnumerable<DrivePiece> others = byKind[null].GroupBy(s => s.PieceName, StringComparer.OrdinalIgnoreCase).OrderBy(g => g.Key, StringComparer.CurrentCulture)
            .Select(g => Piece(g.Key, 0, g)).Where(p => p.InHand > 0 || p.Delivered > 0);
        return [.. wanted.Select(w => Piece(w.Name, w.Wanted, byKind[w.Id])), .. others];
    }

    private static DrivePiece Piece(string name, int wanted, IEnumerable<DriveSum> sums)
    {
        int finished = Sum(sums, PieceStep.Finished);
        int delivered = Sum(sums, PieceStep.Delivered);
        return new DrivePiece(name, wanted, Math.Max(0, finished - delivered), delivered);
    }

    private static int Sum(IEnumerable<DriveSum> sums, PieceStep step) => Math.Max(0, sums.Where(s => s.Step == step).Sum(s => s.Pieces));
}
