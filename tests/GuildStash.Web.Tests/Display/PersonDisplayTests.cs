using System.Globalization;
using System.Security.Claims;
using GuildStash.Data.Guild;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Support;
using Microsoft.Extensions.Localization;
using Xunit;

namespace GuildStash.Web.Tests.Display;

public sealed class PersonDisplayTests
{
    private readonly GuildDefaults _guild = new();

    [Theory]
    [InlineData("en-GB", "233.172", "255 yd", "255 yd", "255 yd")]
    [InlineData("en-GB", "233.1", "255 yd", "254 yd", "255 yd")]
    [InlineData("en-GB", "0", "0 yd", "0 yd", "0 yd")]
    [InlineData("de-DE", "61400", "67.148 yd", "67.147 yd", "67.148 yd")]
    public void KnownLength_InYards_IsRoundedToTheSafeSide(string culture, string metres, string near, string least, string most)
    {
        PersonDisplay display = For(culture, LengthUnit.Yards);
        double length = double.Parse(metres, CultureInfo.InvariantCulture);

        Assert.Equal((Spaces.Unbroken(near), Spaces.Unbroken(least), Spaces.Unbroken(most)), (display.Length(length), display.LengthAtLeast(length), display.LengthAtMost(length)));
    }

    [Theory]
    [InlineData("en-GB", "233.2", "233 m", "233 m", "234 m")]
    [InlineData("de-DE", "9999.4", "9.999 m", "9.999 m", "10.000 m")]
    [InlineData("en-GB", "61449", "61.4 km", "61.4 km", "61.5 km")]
    public void KnownLength_InMetres_IsRoundedToTheSafeSide(string culture, string metres, string near, string least, string most)
    {
        PersonDisplay display = For(culture, LengthUnit.Metres);
        double length = double.Parse(metres, CultureInfo.InvariantCulture);

        Assert.Equal((Spaces.Unbroken(near), Spaces.Unbroken(least), Spaces.Unbroken(most)), (display.Length(length), display.LengthAtLeast(length), display.LengthAtMost(length)));
    }

    [Theory]
    [InlineData("en-GB", 96_000, "96 g")]
    [InlineData("en-GB", 96_400, "96.4 g")]
    [InlineData("de-DE", 96_400, "96,4 g")]
    [InlineData("en-GB", 999_940, "999.9 g")]
    [InlineData("en-GB", 999_960, "1 kg")]
    [InlineData("en-GB", 1_250_000, "1.25 kg")]
    [InlineData("fr-FR", 1_250_000, "1,25 kg")]
    [InlineData("en-GB", 0, "0 g")]
    [InlineData("en-GB", -96_000, "\u221296 g")]
    [InlineData("de-DE", -1_250_000, "\u22121,25 kg")]
    [InlineData("sv-SE", -96_000, "\u221296 g")]
    public void KnownMass_IsWrittenForReading(string culture, long milligrams, string expected) =>
        Assert.Equal(Spaces.Unbroken(expected), For(culture, LengthUnit.Metres).Mass(milligrams));

    [Theory]
    [InlineData("en-GB", 1_250_505, "1,250.505")]
    [InlineData("de-DE", 1_250_500, "1.250,5")]
    [InlineData("en-GB", 96_000, "96")]
    [InlineData("en-GB", -1_500, "\u22121.5")]
    public void KnownGrams_AreExact(string culture, long milligrams, string expected) =>
        Assert.Equal(expected, For(culture, LengthUnit.Metres).Grams(milligrams));

    /// <summary>On pages a true minus sign, in the person's unit or not; in what programs read the hyphen-minus.</summary>
    [Fact]
    public void KnownMass_WhenNegativeInASentence_HasAMinusSignForPeopleOnly()
    {
        Phrase phrase = new("A difference of {0} in {1}.", Mass.FromMilligrams(-40_500), new Phrase("lot {0}", Mass.FromMilligrams(-1_000)));
        StringLocalizer<Texts> texts = new(new TextLocaliserFactory());

        Assert.Equal($"A difference of {Spaces.Unbroken("\u221240.5 g")} in lot {Spaces.Unbroken("\u22121 g")}.", For("en-GB", LengthUnit.Metres).Say(phrase));
        Assert.Equal("A difference of \u221240.5 g in lot \u22121 g.", In("en-GB", () => texts.Say(phrase)));
        Assert.Equal("A difference of -40.5 g in lot -1 g.", In("en-GB", () => texts.SayPlainly(phrase)));
        Assert.Equal("A difference of -40.5 g in lot -1 g.", phrase.ToString());
    }

    [Fact]
    public void KnownCountAndLength_WhenNegative_HaveAMinusSign()
    {
        PersonDisplay display = For("en-GB", LengthUnit.Metres);

        Assert.Equal(("\u22121,200", Spaces.Unbroken("\u22125 m"), "\u22125", Spaces.Unbroken("\u221212.3 km")), (display.Count(-1_200), display.Length(-5), display.LengthFigure(-5), display.Length(-12_300)));
    }

    [Theory]
    [InlineData("en-GB", "9 Mar 2026")]
    [InlineData("en-US", "Mar 9, 2026")]
    [InlineData("de-DE", "9. März 2026")]
    [InlineData("fr-FR", "9 mars 2026")]
    [InlineData("es-ES", "9 de mar de 2026")]
    [InlineData("ja-JP", "2026年3月9日")]
    public void KnownDate_HasItsMonthInLettersAndNoWeekday(string culture, string expected) =>
        Assert.Equal(Spaces.Unbroken(expected), For(culture, LengthUnit.Metres).Date(new DateOnly(2026, 3, 9)));

    [Fact]
    public void KnownMoment_IsShownInTheGuildsZone()
    {
        _guild.Set(new GuildSettings { Name = "Sample guild", TimeZone = "Europe/Berlin" });
        PersonDisplay display = For("en-GB", LengthUnit.Metres);
        DateTimeOffset lateInUtc = new(2026, 6, 30, 22, 30, 0, TimeSpan.Zero);

        Assert.Equal($"{Spaces.Unbroken("1 Jul 2026")} 00:30", display.Moment(lateInUtc));
        Assert.Equal(Spaces.Unbroken("1 Jul 2026"), display.Date(lateInUtc));
    }

    /// <summary>A line may end between day and time, but within neither.</summary>
    [Fact]
    public void KnownMoment_WhereTheTimeHasASpace_BreaksBetweenDayAndTimeAlone()
    {
        PersonDisplay display = For("ko-KR", LengthUnit.Metres);
        DateTimeOffset moment = new(2026, 7, 1, 0, 30, 0, TimeSpan.Zero);

        Assert.Equal("2026년\u00A07월\u00A01일 오전\u00A012:30", display.Moment(moment));
        Assert.Equal("오전\u00A012:30", display.MomentOrTime(moment, moment));
    }

    [Fact]
    public void KnownFiguresAndDays_AreNotBrokenByALinesEnd()
    {
        PersonDisplay display = For("en-GB", LengthUnit.Yards);

        Assert.Equal("1.25\u00A0kg", display.Mass(1_250_000));
        Assert.Equal("255\u00A0yd", display.Length(233.172));
        Assert.Equal("132\u00A0yd/100\u00A0g", display.LengthPer100Grams(120.7));
        Assert.Equal("9\u00A0Mar\u00A02026", display.Date(new DateOnly(2026, 3, 9)));
    }

    [Fact]
    public void KnownDensity_NamesUnitAndReference() =>
        Assert.Equal(Spaces.Unbroken("132 yd/100 g"), For("en-GB", LengthUnit.Yards).LengthPer100Grams(120.7));

    [Theory]
    [InlineData(LengthUnit.Yards)]
    [InlineData(LengthUnit.Metres)]
    public void RoundtripLength_ThroughThePersonsUnit_IsTheSame(LengthUnit unit)
    {
        PersonDisplay display = For("en-GB", unit);

        Assert.Equal(123.456, display.ToMetres(display.FromMetres(123.456)), 1e-9);
    }

    [Theory]
    [InlineData("en-US", null, null, LengthUnit.Yards)]
    [InlineData("de-DE", null, null, LengthUnit.Metres)]
    [InlineData("de-DE", null, LengthUnit.Yards, LengthUnit.Yards)]
    [InlineData("de-DE", "Yards", LengthUnit.Metres, LengthUnit.Yards)]
    [InlineData("en-US", "furlongs", null, LengthUnit.Yards)]
    public void Of_WhenAUnitWasChosenOrNot_FollowsClaimThenGuildThenRegion(string culture, string? claim, LengthUnit? guild, LengthUnit expected)
    {
        ClaimsIdentity identity = new(claim is null ? [] : [new Claim(DisplayClaims.LengthUnit, claim)]);

        Assert.Equal(expected, In(culture, () => DisplayChoices.Of(new ClaimsPrincipal(identity), guild)).LengthUnit);
    }

    private static T In<T>(string culture, Func<T> read)
    {
        (CultureInfo before, CultureInfo uiBefore) = (CultureInfo.CurrentCulture, CultureInfo.CurrentUICulture);
        (CultureInfo.CurrentCulture, CultureInfo.CurrentUICulture) = (new CultureInfo(culture), new CultureInfo(culture));
        try
        {
            return read();
        }
        finally
        {
            (CultureInfo.CurrentCulture, CultureInfo.CurrentUICulture) = (before, uiBefore);
        }
    }

    private PersonDisplay For(string culture, LengthUnit unit)
    {
        PersonDisplay display = new(new StringLocalizer<Texts>(new TextLocaliserFactory()), _guild);
        display.Use(new DisplayChoices(CultureInfo.GetCultureInfo(culture), unit, Theme.System));
        return display;
    }
}
