using System.Reflection;
using AngleSharp.Dom;
using Bunit;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Components.Shared;
using GuildStash.Web.Features.Words;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Components;
using Microsoft.AspNetCore.Components;
using Xunit;

namespace GuildStash.Web.Tests.Features.Words;

public sealed class GuideTests : ShellTest
{
    private static readonly string[] s_pages = [.. typeof(Guides).Assembly.GetTypes().SelectMany(type => type.GetCustomAttributes<RouteAttribute>()).Select(route => route.Template)];

    [Fact]
    public void Help_WhenAScreenLinksToAChapter_TheHeadingIsThereAndTheScreenToo()
    {
        Assert.All(HelpLinks.All, link => Assert.True(link.Heading is { Length: > 0 }, $"{link.Href} has no heading."));
        Assert.All(HelpLinks.All, link => Assert.Contains(s_pages, page => page == link.Start || page.StartsWith(link.Start + "/", StringComparison.Ordinal)));
    }

    [Theory]
    [InlineData("/sorting/00000000-0000-7000-8000-000000000000", "Help: Sort a bag", "/guide/volunteer#sort-a-bag")]
    [InlineData("/bins/new", "Help: Bins", "/guide/coordinator#bins")]
    [InlineData("/bins/K7MS?do=count", "Help: Put yarn away", "/guide/volunteer#put-yarn-away")]
    public void Help_WhenAScreenIsOpen_LeadsToItsOwnHeading(string path, string words, string href)
    {
        Navigation.NavigateTo(path);
        IElement link = Ui.Render<PageHead>(p => p.Add(c => c.Title, "A screen")).Find("a.help");

        Assert.Equal((words, href), (link.TextContent, link.GetAttribute("href")));
    }

    [Theory]
    [InlineData("/second-person", "/guide/volunteer#a-second-person")]
    [InlineData("/freezer", "/guide/volunteer#freeze-what-is-kept-apart")]
    [InlineData("/counts", "/guide/volunteer#count-a-bin")]
    [InlineData("/scales", "/guide/coordinator#scales")]
    [InlineData("/settings/room-rules", "/guide/coordinator#rules-of-the-room")]
    [InlineData("/safe-keeping", "/guide/operate#back-up")]
    [InlineData("/safe-keeping/donors", "/guide/operate#donors-data")]
    public void Help_OfAScreenBesideTheMenu_LeadsToItsOwnChapter(string path, string href) => Assert.Equal(href, HelpLinks.For(path)?.Href);

    [Fact]
    public void Read_WhenARecordIsNumbered_ItsTitleIsWords()
    {
        Assert.Equal("Every estimate says how sure it is", Guides.Find("estimates")?.Title);
        Assert.Equal("3 kits", GuideReader.Read("trial", "# 3 kits\n").Title);
    }

    [Theory]
    [InlineData("/")]
    [InlineData("/glossary")]
    [InlineData("/binsomething")]
    public void Help_WhenAScreenHasNoChapter_OffersNone(string path)
    {
        Navigation.NavigateTo(path);

        Assert.Empty(Ui.Render<PageHead>(p => p.Add(c => c.Title, "A screen")).FindAll("a.help"));
    }

    [Fact]
    public void Read_WhenChaptersLinkToOneAnother_EveryPlaceAndPictureExists()
    {
        Assert.Equal(6, Guides.Chapters.Count);
        string[] places =
        [
            "/glossary", .. Glossary.Entries.Select(entry => $"/glossary#{entry.Anchor}"),
            .. Guides.Chapters.Select(chapter => chapter.Address), .. Guides.Chapters.SelectMany(chapter => chapter.Headings.Select(chapter.AddressOf)),
        ];
        string[] links = [.. Guides.Chapters.SelectMany(chapter => chapter.Links)];
        string[] pictures = [.. links.Where(link => link.StartsWith(GuidePictures.Address, StringComparison.Ordinal))];

        Assert.True(pictures.Length >= 12, $"Only {pictures.Length} pictures were found.");
        Assert.All(pictures, picture => Assert.True(GuidePictures.SizeOf(picture) is { Width: > 300, Height: > 300 }, $"{picture} is not part of the build."));
        Assert.All(links.Except(pictures).Where(link => !link.Contains("://", StringComparison.Ordinal)), link => Assert.Contains(link, places));
    }

    [Fact]
    public void Open_WhenAChapterIsAskedFor_HeadingsHaveAnchorsPicturesWaitAndTablesNameTheirCells()
    {
        IRenderedComponent<GuidePage> page = Ui.Render<GuidePage>(p => p.Add(c => c.Name, "volunteer"));

        Assert.Equal("For volunteers", Assert.Single(page.FindAll("h1")).TextContent);
        Assert.Equal("Sort a bag", page.Find("h2#sort-a-bag").TextContent);
        Assert.Contains(page.FindAll("nav a"), link => link.GetAttribute("href") == "/guide/volunteer#sort-a-bag");
        Assert.All(page.FindAll("article img"), picture => Assert.Equal(("lazy", true, true), (picture.GetAttribute("loading"), picture.HasAttribute("width"), picture.GetAttribute("alt") is { Length: > 0 })));
        Assert.Equal("environment", Ui.Render<GuidePage>(p => p.Add(c => c.Name, "operate")).Find("tbody td:nth-child(2)").GetAttribute("data-label"));
        Assert.Equal("There is no such chapter", Ui.Render<GuidePage>(p => p.Add(c => c.Name, "nowhere")).Find("h1").TextContent);
    }

    [Fact]
    public void Read_WhenAFileHoldsHtml_ItIsTextAndNoMarkup()
    {
        GuideChapter chapter = GuideReader.Read("trial", "# Title\nA <script>alert(1)</script> & more.\n\n## Part\n- one `code`\n- two");

        Assert.DoesNotContain("<script", chapter.Html, StringComparison.Ordinal);
        Assert.Equal(["one code", "two"], chapter.Headings.Single().Paragraphs);
    }

    [Theory]
    [InlineData("zebra", 0)]
    [InlineData("wraps SORT", 3)]
    [InlineData("tare", 2)]
    public void Search_WhenWordsAreTyped_OnlyParagraphsWithAllOfThemAreFound(string typed, int atLeast)
    {
        IRenderedComponent<GuidePage> page = Ui.Render<GuidePage>();
        page.Find("input[type=search]").Input(typed);

        IReadOnlyList<GuideFind> found = Guides.Search(typed);
        Assert.Equal(found.Select(find => find.Href), page.FindAll(".guide-finds a").Select(link => link.GetAttribute("href")!));
        Assert.True(atLeast == 0 ? found.Count == 0 : found.Count >= atLeast, $"{found.Count} places have '{typed}'.");
        Assert.All(found.Where(find => !find.Text.EndsWith('…')), find => Assert.All(typed.Split(' '), word => Assert.Contains(word, $"{find.Where} {find.Text}", StringComparison.OrdinalIgnoreCase)));
    }

    [Fact]
    public void Search_WhenAWordStandsInTheGlossaryToo_ItsEntryIsAmongTheFinds() =>
        Assert.Contains(Guides.Search("scale division smallest"), find => find.Href == "/glossary#scale-division");

    [Fact]
    public void Show_WhenThePseudoLanguageIsUsed_EveryTextButTheGuidesOwnIsLocalised()
    {
        Read(PseudoLanguage.CultureName);
        string[] pages = [Ui.Render<GuidePage>().Markup, Ui.Render<GuidePage>(p => p.Add(c => c.Name, "member")).Markup, Ui.Render<GuidePage>(p => p.Add(c => c.Name, "nowhere")).Markup];

        Assert.All(pages, html => Assert.Contains("⟦", html, StringComparison.Ordinal));
        Assert.Empty(pages.SelectMany(UntranslatedText.Find));
    }
}
