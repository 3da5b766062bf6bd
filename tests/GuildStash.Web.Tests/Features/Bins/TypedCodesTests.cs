using GuildStash.Web.Features.Bins;
using Xunit;

namespace GuildStash.Web.Tests.Features.Bins;

public sealed class TypedCodesTests
{
    [Theory]
    [InlineData("K7M4-P9U", "K7M4-P9U")]
    [InlineData(" k7m4p9u ", "k7m4p9u")]
    [InlineData("K7M4 P9U", "K7M4P9U")]
    [InlineData("K7M4-P9U, K7M4P9U;K7M4 P9U\nK7M4-P9U", "K7M4-P9U|K7M4P9U|K7M4P9U|K7M4-P9U")]
    [InlineData("HTTPS://YARN.EXAMPLE.ORG/L/K7M4P9U", "K7M4P9U")]
    [InlineData("https://yarn.example.org/inventory/K7M4P9U/", "K7M4P9U")]
    [InlineData("K7M4 nonsense", "K7M4|nonsense")]
    [InlineData("x K7M4P9U", "x|K7M4P9U")]
    [InlineData("", "")]
    [InlineData(null, "")]
    public void KnownSplit_OfWhatIsTypedOrScanned_IsOneTextForEachCode(string? typed, string codes) =>
        Assert.Equal(codes, string.Join('|', TypedCodes.Split(typed)));
}
