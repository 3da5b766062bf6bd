using Bunit;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Tests.Components;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Bins;

public sealed class BinFillTests : ShellTest
{
    [Theory]
    [InlineData(null, "size not known")]
    [InlineData(0.0, "empty")]
    [InlineData(0.02, "nearly empty")]
    [InlineData(0.07, "about 5 % full")]
    [InlineData(0.51, "about 50 % full")]
    [InlineData(1.0, "about 100 % full")]
    [InlineData(1.31, "too full: about 130 %")]
    public void Tell_WhenAFillIsEstimated_SaysAboutInSteps(double? fill, string words) =>
        Assert.Equal(words, Spaces.Plain(Ui.Render<BinFill>(p => p.Add(c => c.Fill, (decimal?)fill)).Find("span:last-child").TextContent.Trim()));
}
