using System.Globalization;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Components;
using Xunit;

namespace GuildStash.Web.Tests.Localisation;

public sealed class TextLocaliserTests : ShellTest
{
    private readonly TextLocaliser _texts = new(new TextCatalogue(typeof(TextLocaliserTests).Assembly));

    [Theory]
    [InlineData("de-AT", "{0} of {1} are free", "2,5 von 3 sind frei")]
    [InlineData("de-AT", "at the door", "an der Türe")]
    [InlineData("de-DE", "at the door", "an der Tür")]
    [InlineData("fr-FR", "{0} of {1} are free", "2,5 of 3 are free")]
    [InlineData("en-GB", "{0} of {1} are free", "2.5 of 3 are free")]
    public void Look_WhenTheCultureOrItsParentHasTheText_ItIsUsedElseEnglish(string culture, string english, string expected)
    {
        Read(culture);

        Assert.Equal(expected, _texts[english, 2.5, 3].Value);
        Assert.Equal(culture is "fr-FR" or "en-GB", _texts[english, 2.5, 3].ResourceNotFound);
    }

    [Fact]
    public void Say_WhenAPhraseHoldsPhrasesAndEnums_AllAreLocalised()
    {
        Read("de-DE");
        Phrase outer = new("{0}: {1}, {2} g", new Phrase("at the door"), Texture.ThickAndThin, 1234.5);

        Assert.Equal("an der Tür: thick-and-thin, 1234,5\u00A0g", _texts.Say(outer));
    }

    /// <summary>Of what is put into a text only the text's own unit is bound; a word that merely begins like one is not.</summary>
    [Fact]
    public void Say_WhenATextHasAUnit_ItsLineDoesNotEndBeforeItAndProgramsGetABlank()
    {
        Phrase phrase = new("At most {0} g of lot {1} in 100 g, {2} mm or {3} moves.", 5, "5 g", 3, 2);

        Assert.Equal("At most 5\u00A0g of lot 5 g in 100\u00A0g, 3\u00A0mm or 2 moves.", _texts.Say(phrase));
        Assert.Equal("At most 5 g of lot 5 g in 100 g, 3 mm or 2 moves.", _texts.SayPlainly(phrase));
    }

    /// <summary>What a person typed stays as it is, since it may go into a field again.</summary>
    [Fact]
    public void Say_WhenATextHasAPercentSign_ItsLineDoesNotEndBeforeItAndProgramsGetABlank()
    {
        Phrase phrase = new("A regain of {0} % in {1}.", 50, "the 5 % room");

        Assert.Equal("A regain of 50\u00A0% in the 5 % room.", _texts.Say(phrase));
        Assert.Equal("Print at 100\u00A0%.", _texts["Print at 100 %."].Value);
        Assert.Equal("A regain of 50 % in the 5 % room.", _texts.SayPlainly(phrase));
    }

    [Theory]
    [InlineData(WeightClass.Dk, "DK")]
    [InlineData(WeightClass.SuperBulky, "super bulky")]
    [InlineData(WeightClass.Lace, "lace")]
    [InlineData(Texture.Boucle, "bouclé")]
    public void KnownWord_OfAnEnumValue_IsTheTrades(Enum value, string expected) => Assert.Equal(expected, _texts.Word(value));

    [Fact]
    public void Look_WhenPseudoLanguage_AccentsTextsAndKeepsPlaces()
    {
        Read(PseudoLanguage.CultureName);

        Assert.Equal("⟦Šéţţîñĝš⟧", _texts["Settings"].Value);
        Assert.Equal("⟦{0:0.0} öf⟧", PseudoLanguage.Mark("{0:0.0} of"));
        Assert.Equal("⟦2 öf ⟦fréé⟧⟧", _texts.Say(new Phrase("{0} of {1}", 2, new Phrase("free"))));
    }

    [Fact]
    public void List_WhenParentsCount_HoldsEachTextOnce()
    {
        Read("de-AT");

        Assert.Equal(["an der Türe"], _texts.GetAllStrings(includeParentCultures: false).Select(text => text.Value));
        Assert.Equal(2, _texts.GetAllStrings(includeParentCultures: true).Count());
    }

    [Theory]
    [InlineData("<p>⟦Šéţţîñĝš⟧ 12</p>", null)]
    [InlineData("<p>Settings</p>", "p: Settings")]
    [InlineData("<p>⟦2 öf ⟦fréé⟧⟧ g</p>", "p: ⟦2 öf ⟦fréé⟧⟧ g")]
    [InlineData("<p translate='no'>K7M-S <b>Ada</b></p>", null)]
    [InlineData("<button aria-label='less'>−</button>", "button@aria-label: less")]
    [InlineData("<td data-label='⟦ĝ⟧'>12</td>", null)]
    [InlineData("<script>let a;</script>", null)]
    public void Find_WhenATextStandsOutsideTheBrackets_NamesIt(string html, string? expected) =>
        Assert.Equal(expected is null ? [] : [expected], UntranslatedText.Find(html));
}
