using GuildStash.Web.Infrastructure.Security;
using Xunit;

namespace GuildStash.Web.Tests.Infrastructure.Security;

public sealed class LocalAddressTests
{
    [Theory]
    [InlineData("/", "/")]
    [InlineData("/inventory?colour=red&page=2#top", "/inventory?colour=red&page=2#top")]
    [InlineData(null, "/")]
    [InlineData("", "/")]
    [InlineData("inventory", "/")]
    [InlineData("https://evil.example.org/", "/")]
    [InlineData("//evil.example.org/", "/")]
    [InlineData(@"/\evil.example.org/", "/")]
    [InlineData(@"\\evil.example.org/", "/")]
    [InlineData("/\t/evil.example.org/", "/")]
    [InlineData("javascript:alert(1)", "/")]
    public void KnownAddress_LeadsHereOrHome(string? address, string expected) => Assert.Equal(expected, LocalAddress.OrHome(address));
}
