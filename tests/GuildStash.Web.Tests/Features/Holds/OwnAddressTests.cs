using GuildStash.Web.Features.Holds;
using Xunit;

namespace GuildStash.Web.Tests.Features.Holds;

/// <summary>A page's own changes of its address come back late; they must not undo what was asked for since.</summary>
public sealed class OwnAddressTests
{
    private readonly OwnAddress _address = new();

    [Fact]
    public void IsNews_WhenTheFirstAddressComes_IsTrueOnce()
    {
        Assert.True(_address.IsNews("a"));
        Assert.False(_address.IsNews("a"));
    }

    [Fact]
    public void IsNews_WhenTwoOwnChangesComeBackOneAfterTheOther_IsFalseForBoth()
    {
        _address.IsNews("a");
        _address.Going("b");
        _address.Going("c");

        Assert.False(_address.IsNews("a"));
        Assert.False(_address.IsNews("b"));
        Assert.False(_address.IsNews("c"));
        Assert.True(_address.IsNews("b"));
    }

    [Fact]
    public void IsNews_WhenOnlyTheLastOfTwoOwnChangesComes_IsFalseAndWhatComesLaterIsNews()
    {
        _address.IsNews("a");
        _address.Going("b");
        _address.Going("c");

        Assert.False(_address.IsNews("c"));
        Assert.True(_address.IsNews("b"));
    }

    [Fact]
    public void IsNews_WhenThePageGoesWhereItIs_DoesNotHideALaterChange()
    {
        _address.IsNews("a");
        _address.Going("a");

        Assert.True(_address.IsNews("b"));
        Assert.True(_address.IsNews("a"));
    }
}
