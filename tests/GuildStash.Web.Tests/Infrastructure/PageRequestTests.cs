using GuildStash.Web.Infrastructure.Work;
using Xunit;

namespace GuildStash.Web.Tests.Infrastructure;

public sealed class PageRequestTests
{
    [Theory]
    [InlineData(int.MaxValue)]
    [InlineData(0)]
    public void InvalidPage_WhenRefused_SaysWhichPagesMayBeAskedFor(int page) =>
        Assert.Equal($"There can't be a page {page}; allowed are 1 to 1000000.", new PageRequest(page).Wrong()?.ToString());
}
