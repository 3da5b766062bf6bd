using System.Globalization;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Display;
using Xunit;

namespace GuildStash.Web.Tests.Display;

public sealed class DecimalInputTests
{
    [Theory]
    [InlineData("en-GB", "1.5", "1.5")]
    [InlineData("en-GB", "1,5", "1.5")]
    [InlineData("de-DE", "1.5", "1.5")]
    [InlineData("de-DE", "1,5", "1.5")]
    [InlineData("fr-FR", "1.5", "1.5")]
    [InlineData("fr-FR", "1,5", "1.5")]
    [InlineData("en-GB", "1,234.5", "1234.5")]
    [InlineData("de-DE", "1.234,5", "1234.5")]
    [InlineData("fr-FR", "1\u202F234,5", "1234.5")]
    [InlineData("fr-FR", "1 234,5", "1234.5")]
    [InlineData("en-GB", "1.234,5", "1234.5")]
    [InlineData("de-CH", "1’234.5", "1234.5")]
    [InlineData("en-GB", "1.234", "1.234")]
    [InlineData("de-DE", "1,234", "1.234")]
    [InlineData("de-DE", "0.250", "0.250")]
    [InlineData("en-GB", "0,250", "0.250")]
    [InlineData("en-GB", "1234,567", "1234.567")]
    [InlineData("de-DE", "1.234.567", "1234567")]
    [InlineData("en-GB", " 96 ", "96")]
    [InlineData("en-GB", "−3", "-3")]
    [InlineData("en-GB", ".5", "0.5")]
    [InlineData("en-GB", "5.", "5")]
    public void KnownText_IsRead(string culture, string typed, string expected)
    {
        Outcome<decimal> read = DecimalInput.Parse(typed, CultureInfo.GetCultureInfo(culture), "grams");

        Assert.True(read.IsOk, read.IsOk ? null : read.Refusal.ToString());
        Assert.Equal(decimal.Parse(expected, CultureInfo.InvariantCulture), read.Value);
    }

    [Theory]
    [InlineData("en-GB", "1,234", "1234", "1.234")]
    [InlineData("de-DE", "1.234", "1234", "1,234")]
    [InlineData("fr-FR", "12.345", "12345", "12,345")]
    public void InvalidText_WhenItReadsInTwoWays_IsRefusedWithBoth(string culture, string typed, string one, string other)
    {
        Outcome<decimal> read = DecimalInput.Parse(typed, CultureInfo.GetCultureInfo(culture), "grams");

        Assert.False(read.IsOk);
        Assert.Equal("grams", read.Refusal.Field);
        Assert.Equal(
            $"“{typed}” can be read as {one} or as {other}. Leave the thousands sign out, or write another number of decimals.",
            read.Refusal.ToString());
    }

    [Theory]
    [InlineData("abc")]
    [InlineData("150 g")]
    [InlineData("1e5")]
    [InlineData("NaN")]
    [InlineData("∞")]
    [InlineData("--1")]
    [InlineData("1 2")]
    [InlineData("1,23,4")]
    [InlineData("1,2345.6")]
    [InlineData("1.2,3.4")]
    [InlineData(",")]
    [InlineData("")]
    [InlineData("<script>")]
    [InlineData("٣")]
    public void InvalidText_IsRefusedByItsField(string typed)
    {
        Outcome<decimal> read = DecimalInput.Parse(typed, CultureInfo.GetCultureInfo("en-GB"), "grams");

        Assert.False(read.IsOk);
        Assert.Equal("grams", read.Refusal.Field);
        Assert.Equal(RefusalKind.Invalid, read.Refusal.Kind);
    }

    [Fact]
    public void ExtremeText_OfTenThousandCharacters_IsRefusedByItsLength()
    {
        Outcome<decimal> read = DecimalInput.Parse(new string('9', 10_000), CultureInfo.InvariantCulture, "grams");

        Assert.StartsWith("This is 10000 characters long; a number has at most 28.", read.Refusal.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void ExtremeText_OfAsManyDigitsAsAllowed_IsReadAndOneMoreIsRefused()
    {
        string longest = new('9', DecimalInput.LongestText);

        Assert.Equal(decimal.Parse(longest, CultureInfo.InvariantCulture), DecimalInput.Parse(longest, CultureInfo.InvariantCulture, "grams").Value);
        Assert.False(DecimalInput.Parse(longest + "9", CultureInfo.InvariantCulture, "grams").IsOk);
    }
}
