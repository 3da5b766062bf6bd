using GuildStash.Domain.Projects;
using GuildStash.Web.Features.Drives;
using Xunit;

namespace GuildStash.Web.Tests.Features.Drives;

public sealed class DriveFiguresTests
{
    private static readonly (Guid Id, string Name, int Wanted) s_hats = (Guid.CreateVersion7(), "Hat", 60);
    private static readonly (Guid Id, string Name, int Wanted) s_scarves = (Guid.CreateVersion7(), "Scarf", 15);

    [Fact]
    public void Known_InHandIsFinishedLessDelivered()
    {
        DrivePiece[] pieces = [.. DriveFigures.Of([s_hats, s_scarves],
        [
            new(s_hats.Id, "Hat", PieceStep.Finished, 30), new(s_hats.Id, "Hat", PieceStep.Delivered, 12),
            new(s_scarves.Id, "Scarf", PieceStep.Finished, 20),
        ])];

        Assert.Equal([new("Hat", 60, 18, 12), new("Scarf", 15, 20, 0)], pieces);
        Assert.Equal([30, 0], pieces.Select(p => p.Missing));
    }

    [Fact]
    public void Extreme_MoreDeliveredThanFinished_LeavesNoneInHandAndNoneBelowZero()
    {
        DrivePiece piece = Assert.Single(DriveFigures.Of([s_hats], [new(s_hats.Id, "Hat", PieceStep.Finished, 5), new(s_hats.Id, "Hat", PieceStep.Delivered, 70), new(s_hats.Id, "Hat", PieceStep.Delivered, -3)]));

        Assert.Equal((0, 67, 0), (piece.InHand, piece.Delivered, piece.Missing));
    }

    [Fact]
    public void Of_WhenARecordHasNoKind_TakesTheOneOfItsNameElseListsItBesideThem()
    {
        IReadOnlyList<DrivePiece> pieces = DriveFigures.Of([s_hats],
        [
            new(null, "hat", PieceStep.Finished, 4), new(Guid.CreateVersion7(), "Hat", PieceStep.Delivered, 1), new(null, "Shawl", PieceStep.Delivered, 2),
            new(null, "Mitten", PieceStep.Delivered, 2), new(null, "Mitten", PieceStep.Delivered, -2),
        ]);

        Assert.Equal([new DrivePiece("Hat", 60, 3, 1), new DrivePiece("Shawl", 0, 0, 2)], pieces);
    }
}
