using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Tests.Rules;

public class TermsTests
{
    private static readonly Terms<DayOfWeek> Days = new([.. Enum.GetValues<DayOfWeek>().Select(day => (day, day.ToString().ToLowerInvariant(), $"On {day}"))]);

    [Theory]
    [InlineData("friday")]
    [InlineData("FRIDAY")]
    [InlineData(" Friday ")]
    public void Known_KeysAreFoundInAnyCase(string key)
    {
        Assert.True(Days.TryParse(key, out DayOfWeek day));
        Assert.Equal(DayOfWeek.Friday, day);
    }

    [Theory]
    [InlineData(null)]
    [InlineData("")]
    [InlineData("5")]
    [InlineData("Freitag")]
    public void Invalid_Key(string? key) => Assert.False(Days.TryParse(key, out _));

    [Fact]
    public void Known_KeyAndName()
    {
        Assert.Equal(("friday", "On Friday"), (Days.Key(DayOfWeek.Friday), Days.Name(DayOfWeek.Friday).ToString()));
        Assert.Equal(7, Days.Keys.Count);
    }

    [Fact]
    public void Invalid_Vocabulary()
    {
        Assert.Contains("Saturday", Assert.Throws<ArgumentException>(() => new Terms<DayOfWeek>((DayOfWeek.Sunday, "sunday", "Sunday"))).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentOutOfRangeException>(() => Days.Key((DayOfWeek)7));
    }
}
