using Bunit;
using GuildStash.Domain.People;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Settings;
using GuildStash.Web.Features.Words;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Components;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Settings;

public sealed class WeightClassesPageTests(PostgresFixture postgres) : ShellTest
{
    private const string Opened = "table.weight-classes tbody tr";
    private const string Form = "table.class-form";

    private async Task<GuildRoom> RoomAsync()
    {
        GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Ui.UseRoom(room);
        Person.SignIn(room.Coordinator, "coordinator");
        return room;
    }

    [Fact]
    public async Task Show_WhenOpened_HasEachClassInThePersonsUnit()
    {
        await using GuildRoom room = await RoomAsync();
        foreach ((LengthUnit unit, string dk, string head) in new[]
        {
            (LengthUnit.Yards, "200 to 273", "Length of 100 g in yards, low to high"),
            (LengthUnit.Metres, "183 to 250", "Length of 100 g in metres, low to high"),
        })
        {
            Use(unit);
            IRenderedComponent<WeightClassesPage> page = Ui.Render<WeightClassesPage>();
            page.WaitForElement(Opened);

            Assert.Equal(10, page.FindAll(Opened).Count);
            Assert.Equal(["3", "11.5 to 14.5", dk], page.FindAll("tbody tr:nth-child(4) td.n").Select(cell => cell.TextContent.Trim()));
            Assert.Equal("more than 22.5", page.Find("tbody tr:first-child td.n:nth-of-type(2)").TextContent);
            Assert.Equal("up to 4.5", page.Find("tbody tr:last-child td.n:nth-of-type(2)").TextContent);
            Assert.Contains(page.FindAll("th"), th => Spaces.Plain(th.TextContent) == head);
            Assert.Contains("common practice", page.Markup, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Explain_WhenAWordIsAskedFor_TheGlossaryHasItAtItsPlace()
    {
        await using GuildRoom room = await RoomAsync();
        string[] anchors = [.. Ui.Render<GlossaryPage>().FindAll("dl > div").Select(entry => entry.Id!)];

        Assert.Equal(anchors.Length, anchors.Distinct().Count());
        string link = Ui.Render<WeightClassesPage>().WaitForElement("a[href^='/glossary#']").GetAttribute("href")!;
        Assert.Contains(link.Split('#')[1], anchors);
        Assert.All(Glossary.Entries, entry => Assert.EndsWith(".", entry.Meaning, StringComparison.Ordinal));
    }

    /// <summary>Wrong numbers are told beside their row; a good table is previewed, and only then saved.</summary>
    [Fact]
    public async Task Change_WhenACutIsMoved_IsPreviewedThenInForce()
    {
        await using GuildRoom room = await RoomAsync();
        Use(LengthUnit.Yards);
        IRenderedComponent<EditWeightClassesPage> page = Ui.Render<EditWeightClassesPage>();
        page.WaitForElement(Form);
        Assert.Equal("200", page.Find("[id='rows.dk.low']").GetAttribute("value"));

        await page.OnAsync("[id='rows.dk.low']", box => box.Input("300"));
        await page.OnAsync("#table", form => form.Submit());
        page.WaitForElement("[id='rows.dk-wrong']", RoomPages.Patience);
        Assert.Contains("low (300 yd to 100 g) must be less than high (273 yd)", Spaces.Plain(page.Find("[id='rows.dk-wrong']").TextContent), StringComparison.Ordinal);
        Assert.Equal("true", page.Find("[id='rows.dk.low']").GetAttribute("aria-invalid"));

        await page.OnAsync("[id='rows.dk.low']", box => box.Input("200"));
        await page.OnAsync("[id='rows.medium.upTo']", box => box.Input("12.5"));
        Assert.Equal("12.5", page.Find("tr:nth-child(4) td").TextContent.Trim());
        await page.OnAsync("#table", form => form.Submit());
        await page.PressAsync("Put this table into force");

        page.WaitForAssertion(() => Assert.Contains("The table “own-1” is in force", page.Find(".good").TextContent, StringComparison.Ordinal), RoomPages.Patience);
        Assert.Equal("own-2", page.Find("#version").GetAttribute("value"));
        await page.PressAsync("Back to the standard table");
        await page.PressAsync("Put the standard table into force");
        page.WaitForAssertion(() => Assert.Contains("“snug-1” is in force", page.Find(".good").TextContent, StringComparison.Ordinal), RoomPages.Patience);
        IRenderedComponent<WeightClassesPage> after = Ui.Render<WeightClassesPage>();
        Assert.Equal(["snug-1", "own-1"], after.WaitForElement(".table-history", RoomPages.Patience).QuerySelectorAll(".code").Select(name => name.TextContent));
    }

    [Fact]
    public async Task Show_WhenThePseudoLanguageIsUsed_EveryTextIsLocalised()
    {
        await using GuildRoom room = await RoomAsync();
        Read(PseudoLanguage.CultureName);

        IRenderedComponent<WeightClassesPage> page = Ui.Render<WeightClassesPage>();
        page.WaitForElement(Opened);
        Assert.Empty(UntranslatedText.Find(page.Markup));
        IRenderedComponent<EditWeightClassesPage> form = Ui.Render<EditWeightClassesPage>();
        await form.OnAsync("#table", each => each.Submit());
        form.WaitForElement("#table-change", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(form.Markup));
        Assert.Empty(UntranslatedText.Find(Ui.Render<GlossaryPage>().Markup));
    }
}
