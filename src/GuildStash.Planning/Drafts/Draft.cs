using GuildStash.Planning.Fitting;

namespace GuildStash.Planning.Drafts;

/// <summary>Yarn of one lot in one slice.</summary>
/// <param name="Strands">How often the worked length is taken.</param>
/// <param name="Worked">Decimetres of the slice that it makes, more than 0.</param>
internal readonly record struct Draw(int Lot, int Strands, long Worked)
{
    public long Taken => Worked * Strands;
}

/// <summary>A slice of a part in one piece: its draws are of different lots and come to the part's need.</summary>
/// <param name="Part">Index of the part.</param>
/// <param name="Group">Index of the part's group.</param>
internal sealed record Slice(int Part, int Group, IReadOnlyList<Draw> Draws);

/// <summary>One piece that is made.</summary>
internal sealed record Copy(int Piece, IReadOnlyList<Slice> Slices);

/// <summary>Pieces with the yarn for each: a plan before it is put into words.</summary>
internal sealed record Draft(IReadOnlyList<Copy> Copies)
{
    public static Draft Empty { get; } = new([]);

    public IEnumerable<Slice> Slices => Copies.SelectMany(copy => copy.Slices);

    /// <summary>Decimetres taken from each lot.</summary>
    public long[] Taken(FittedPlan plan)
    {
        long[] taken = new long[plan.Lots.Count];
        foreach (Draw draw in Slices.SelectMany(slice => slice.Draws))
        {
            taken[draw.Lot] += draw.Taken;
        }

        return taken;
    }

    public int[] Made(FittedPlan plan)
    {
        int[] made = new int[plan.Problem.Pieces.Count];
        foreach (Copy copy in Copies)
        {
            made[copy.Piece]++;
        }

        return made;
    }
}
