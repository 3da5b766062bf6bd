using Bunit;
using GuildStash.Domain.People;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Settings;
using GuildStash.Web.Features.Words;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Components;
using Xunit;

namespace GuildStash.Web.Tests.Features.Settings;

public sealed class WeightClassesPageTests : ShellTest
{
    [Theory]
    [InlineData(LengthUnit.Yards, "200 to 273", "Length of 100 g in yards, low to high")]
    [InlineData(LengthUnit.Metres, "183 to 250", "Length of 100 g in metres, low to high")]
    public void Show_WhenOpened_HasEachClassInThePersonsUnit(LengthUnit unit, string dk, string head)
    {
        Use(unit);
        IRenderedComponent<WeightClassesPage> page = Ui.Render<WeightClassesPage>();

        Assert.Equal(10, page.FindAll("tbody tr").Count);
        Assert.Equal(["3", "11.5 to 14.5", dk], page.FindAll("tbody tr:nth-child(4) td.n").Select(cell => cell.TextContent.Trim()));
        Assert.Equal("more than 22.5", page.Find("tbody tr:first-child td.n:nth-of-type(2)").TextContent);
        Assert.Equal("up to 4.5", page.Find("tbody tr:last-child td.n:nth-of-type(2)").TextContent);
        Assert.Contains(page.FindAll("th"), th => th.TextContent == head);
        Assert.Contains("common practice", page.Markup, StringComparison.Ordinal);
    }

    [Fact]
    public void Explain_WhenAWordIsAskedFor_TheGlossaryHasItAtItsPlace()
    {
        string[] anchors = [.. Ui.Render<GlossaryPage>().FindAll("dl > div").Select(entry => entry.Id!)];

        Assert.Equal(anchors.Length, anchors.Distinct().Count());
        string link = Ui.Render<WeightClassesPage>().Find("a[href^='/glossary#']").GetAttribute("href")!;
        Assert.Contains(link.Split('#')[1], anchors);
        Assert.All(Glossary.Entries, entry => Assert.EndsWith(".", entry.Meaning, StringComparison.Ordinal));
    }

    [Fact]
    public void Show_WhenThePseudoLanguageIsUsed_EveryTextIsLocalised()
    {
        Read(PseudoLanguage.CultureName);

        Assert.Empty(UntranslatedText.Find(Ui.Render<WeightClassesPage>().Markup));
        Assert.Empty(UntranslatedText.Find(Ui.Render<GlossaryPage>().Markup));
    }
}
