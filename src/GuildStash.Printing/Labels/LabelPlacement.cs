using GuildStash.Domain.Rules;

namespace GuildStash.Printing;

/// <summary>Where on a sheet printing begins, and how far a printer's feed is corrected.</summary>
/// <param name="StartAt">First free label, 1 to the number of labels on a page, counted along the rows.</param>
/// <param name="NudgeX">Moves everything to the right (negative: left), −5 to 5 mm.</param>
/// <param name="NudgeY">Moves everything down (negative: up), −5 to 5 mm.</param>
public sealed record LabelPlacement(int StartAt = 1, double NudgeX = 0, double NudgeY = 0)
{
    /// <summary>Farthest correction in either direction, mm.</summary>
    public const double MaxNudge = 5;

    /// <exception cref="ArgumentOutOfRangeException">Outside −5 to 5, or NaN.</exception>
    public double NudgeX { get; } = Guard.InRange(NudgeX, -MaxNudge, MaxNudge, nameof(NudgeX));

    /// <exception cref="ArgumentOutOfRangeException">Outside −5 to 5, or NaN.</exception>
    public double NudgeY { get; } = Guard.InRange(NudgeY, -MaxNudge, MaxNudge, nameof(NudgeY));

    /// <exception cref="ArgumentOutOfRangeException">The sheet has no such label.</exception>
    internal int FirstPlace(LabelSheetLayout layout) =>
        (int)Guard.InRange(StartAt, 1L, layout.LabelsPerPage, nameof(StartAt)) - 1;
}
