using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Api;
using Xunit;

namespace GuildStash.Web.Tests.Features.Api;

public sealed class ApiKeysTests
{
    [Fact]
    public void KnownKeys_WhenTheTradesWordListHasThem_AreTheSame()
    {
        Assert.All(Enum.GetValues<WeightClass>(), value => Assert.Equal(value.Key(), ApiKeys<WeightClass>.Of(value)));
        Assert.All(Enum.GetValues<ColourFamily>(), value => Assert.Equal(value.Key(), ApiKeys<ColourFamily>.Of(value)));
        Assert.All(Enum.GetValues<FibreBasis>(), value => Assert.Equal(value.Key(), ApiKeys<FibreBasis>.Of(value)));
        Assert.All(Enum.GetValues<Texture>(), value => Assert.Equal(value.Key(), ApiKeys<Texture>.Of(value)));
    }

    [Fact]
    public void RoundtripKeys_WhenReadInAnyCase_AreTheirValues()
    {
        Assert.All(Enum.GetValues<PutUp>(), value =>
        {
            Assert.True(ApiKeys<PutUp>.TryParse(ApiKeys<PutUp>.Of(value).ToUpperInvariant(), out PutUp read));
            Assert.Equal(value, read);
        });
        Assert.False(ApiKeys<PutUp>.TryParse("0", out _));
        Assert.False(ApiKeys<PutUp>.TryParse(null, out _));
    }
}
