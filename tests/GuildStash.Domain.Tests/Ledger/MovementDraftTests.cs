using GuildStash.Domain.Ledger;
using Xunit;

namespace GuildStash.Domain.Tests.Ledger;

public sealed class MovementDraftTests
{
    private static readonly Place ABin = Place.Bin(Guid.Parse("00000000-0000-7000-8000-000000000001"), false);
    private static readonly Place AnotherBin = Place.Bin(Guid.Parse("00000000-0000-7000-8000-000000000002"), false);
    private static readonly Place AMember = Place.Member(Guid.Parse("00000000-0000-7000-8000-000000000003"));

    [Fact]
    public void Create_WhenYarnGoesToAMember_KeepsPlacesMassAndReason()
    {
        MovementDraft draft = MovementDraft.Create(ABin, AMember, 58_000, MovementReason.HandedOver);
        Assert.Equal((ABin, AMember, 58_000, MovementReason.HandedOver), (draft.From, draft.To, draft.Milligrams, draft.Reason));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-1)]
    [InlineData(long.MinValue)]
    public void InvalidMass_IsRefused(long milligrams) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => MovementDraft.Create(ABin, AnotherBin, milligrams, MovementReason.Moved));

    [Fact]
    public void InvalidSamePlace_IsRefused() => Assert.Throws<ArgumentException>(() => MovementDraft.Create(ABin, ABin, 1, MovementReason.Moved));

    // What left the room for good never comes back by a movement; a gift enters only through its bag.
    [Theory]
    [InlineData(PlaceKind.Waste, PlaceKind.Bin)]
    [InlineData(PlaceKind.Project, PlaceKind.Bin)]
    [InlineData(PlaceKind.Project, PlaceKind.Member)]
    [InlineData(PlaceKind.PassedOn, PlaceKind.Bin)]
    [InlineData(PlaceKind.Donor, PlaceKind.Bin)]
    [InlineData(PlaceKind.Bag, PlaceKind.Member)]
    [InlineData(PlaceKind.Quarantine, PlaceKind.Member)]
    [InlineData(PlaceKind.Member, PlaceKind.Bag)]
    public void InvalidWay_IsRefused(PlaceKind from, PlaceKind to)
    {
        Assert.False(MovementDraft.IsWay(from, to));
        Assert.Throws<ArgumentException>(() => MovementDraft.Create(new Place(from, Guid.NewGuid()), new Place(to, Guid.NewGuid()), 1, MovementReason.Moved));
    }

    [Fact]
    public void Quarantine_IsAPlaceOfItsOwn()
    {
        Guid bin = Guid.NewGuid();
        Assert.NotEqual(Place.Bin(bin, true), Place.Bin(bin, false));
        Assert.True(Place.Bin(bin, true).IsInRoom);
        Assert.False(AMember.IsInRoom);
    }
}
