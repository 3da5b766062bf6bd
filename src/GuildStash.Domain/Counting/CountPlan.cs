namespace GuildStash.Domain.Counting;

/// <summary>Which bin to count next: the one with the most movements since its last count, and the one that was longest not counted.</summary>
public static class CountPlan
{
    /// <summary>A week without a count weighs as much as one movement (a judgement).</summary>
    public const int DaysLikeOneMovement = 7;

    /// <summary>A bin that differed as a whole comes before all that is only busy (a judgement).</summary>
    public const int DiffersFirst = 1_000;

    /// <summary>Points; the most come first.</summary>
    /// <param name="movements">In and out of the bin since its last count, or ever.</param>
    /// <param name="days">Whole days since its last count, or since it was made.</param>
    /// <param name="differs">Its last count was of the whole bin and beyond its tolerance.</param>
    public static int Score(int movements, int days, bool differs) => movements + (days / DaysLikeOneMovement) + (differs ? DiffersFirst : 0);
}
