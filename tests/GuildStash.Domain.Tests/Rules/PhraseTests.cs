using System.Globalization;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Tests.Rules;

public class PhraseTests
{
    [Fact]
    public void Known_ArgumentsAndNestedPhrases() =>
        Assert.Equal("Aran, from 10.5 wraps.", new Phrase("{0}, from {1} wraps.", new Phrase("Aran"), 10.5).ToString());

    [Fact]
    public void Known_TextIsTheSameInEveryCulture()
    {
        CultureInfo before = CultureInfo.CurrentCulture;
        try
        {
            CultureInfo.CurrentCulture = CultureInfo.GetCultureInfo("de-DE");
            Assert.Equal("1.5 of 25,000", new Phrase("{0} of {1:N0}", 1.5, 25_000).ToString());
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Fact]
    public void Known_Decimals_LoseTheZerosAtTheirEnd()
    {
        Assert.Equal("0 g, 1000000000 g, 2.5 g", new Phrase("{0} g, {1} g, {2} g", 0.0000000000000000000000000000m, 1000000000.0m, 2.50m).ToString());
        Assert.Equal("1.50", new Phrase("{0:0.00}", 1.5m).ToString());
    }

    [Fact]
    public void Known_EqualByWhatItSays()
    {
        Assert.Equal(new Phrase("{0} g", 5), new Phrase("{0} g", 5));
        Assert.Equal(new Phrase("{0} g", 5).GetHashCode(), new Phrase("{0} g", 5).GetHashCode());
        Assert.NotEqual(new Phrase("{0} g", 5), new Phrase("{0} g", 6));
    }
}
