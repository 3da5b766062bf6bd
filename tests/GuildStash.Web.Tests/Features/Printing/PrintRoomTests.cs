using Bunit;
using GuildStash.Printing;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Printing;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Components;
using Microsoft.Extensions.DependencyInjection;
using Xunit;

namespace GuildStash.Web.Tests.Features.Printing;

public sealed class PrintRoomTests : ShellTest
{
    [Fact]
    public void KnownLinks_OfLabels_CarrySheetPlaceAndCodes()
    {
        SheetOptions sheet = new("a4-70x37-3x8", 5, 0.5m, -1.25m);

        Assert.Equal("/print/bin-labels.pdf?sheet=a4-70x37-3x8&start=5&nudgeX=0.5&nudgeY=-1.25&codes=K7MS,B2CT", PrintLinks.BinLabels(["K7MS", "B2CT"], sheet));
        Assert.Equal("/print/lot-labels.pdf?codes=K7M4P9U", PrintLinks.LotLabels(["K7M4P9U"]));
        Assert.Equal("/print/test-page.pdf?sheet=a4-70x37-3x8&start=5&nudgeX=0.5&nudgeY=-1.25", PrintLinks.TestPage(sheet));
        Assert.Equal("/print/bin-label/K7MS.pdf", PrintLinks.BinLabel("K7MS"));
    }

    [Fact]
    public void ExtremeLink_WhenThereAreThousandsOfCodes_StaysWithinWhatServersTake()
    {
        string link = PrintLinks.LotLabels(Enumerable.Repeat("K7M4P9U", 5000), new SheetOptions("a4-63x38-3x7"));

        Assert.Equal(PrintLinks.MostCodes, link.Split("codes=")[1].Split(',').Length);
        Assert.True(link.Length < 8000);
    }

    [Theory]
    [InlineData(1, 1, "1 label; label 2 is the next free one.")]
    [InlineData(21, 1, "1 label, the last one of its sheet.")]
    [InlineData(1, 21, "21 labels on one sheet, which is used up.")]
    [InlineData(20, 3, "3 labels on 2 sheets; label 2 of the last is the next free one.")]
    [InlineData(5, 17, "17 labels on one sheet, which is used up.")]
    [InlineData(1, 42, "42 labels on 2 sheets, which are used up.")]
    public void Tell_WhenLabelsAreChosen_SaysHowFarTheSheetReaches(int start, int labels, string sentence)
    {
        IRenderedComponent<SheetChoice> choice = Ui.Render<SheetChoice>(p => p.Add(c => c.Options, SheetChoice.Default with { Start = start }).Add(c => c.Labels, labels));

        Assert.Equal(sentence, choice.Find("p[role=status]").TextContent);
    }

    [Theory]
    [InlineData(19, 1, null)]
    [InlineData(20, 1, "20 labels are being made. They open here when they are ready.")]
    [InlineData(20, 3, "20 labels on 2 sheets are being made. They open here when they are ready.")]
    [InlineData(480, 1, "480 labels on 23 sheets are being made. They open here when they are ready.")]
    public void Open_WhenThereAreManyLabels_ItsTabSaysWhatIsBeingMade(int labels, int start, string? sentence)
    {
        IRenderedComponent<LabelsLink> link = Ui.Render<LabelsLink>(p => p
            .Add(c => c.Href, "/print/lot-labels.pdf?codes=K7M4P9U").Add(c => c.Labels, labels).Add(c => c.Sheet, SheetChoice.Default with { Start = start }).AddChildContent("Open"));

        Assert.Equal((sentence, "_blank", "/print/lot-labels.pdf?codes=K7M4P9U"), (link.Find("a").GetAttribute("data-making"), link.Find("a").GetAttribute("target"), link.Find("a").GetAttribute("href")));
    }

    [Fact]
    public void Choose_WhenAnotherSheetIsTaken_StartsAtItsFirstLabel()
    {
        SheetOptions options = SheetChoice.Default with { Start = 20 };
        IRenderedComponent<SheetChoice> choice = Ui.Render<SheetChoice>(p => p.Add(c => c.Options, options).Add(c => c.OptionsChanged, changed => options = changed));

        Assert.Equal(LabelSheetLayout.All.Select(layout => layout.Key), choice.FindAll("option").Select(option => option.GetAttribute("value")));
        choice.Find("select").Change("a4-99x68-2x4");
        Assert.Equal(new SheetOptions("a4-99x68-2x4"), options);
    }

    [Theory]
    [InlineData(null, true)]
    [InlineData("http://127.0.0.1:5080", true)]
    [InlineData("https://yarn.example.org", false)]
    public void Warn_WhenCodesWouldPointToThisMachine_SaysWhatToDo(string? publicUrl, bool warns)
    {
        Ui.Services.AddSingleton(new AppSettings("", publicUrl));

        Assert.Equal(warns, Ui.Render<OnlyHereNote>().Markup.Contains("--public-url", StringComparison.Ordinal));
    }

    [Fact]
    public void Show_WhenInThePseudoLanguage_NothingStaysInEnglish()
    {
        Read(PseudoLanguage.CultureName);

        Assert.Empty(UntranslatedText.Find(Ui.Render<SheetChoice>(p => p.Add(c => c.Options, SheetChoice.Default).Add(c => c.Labels, 3)).Markup));
        Assert.Empty(UntranslatedText.Find($"<p>{Ui.Render<LabelsLink>(p => p.Add(c => c.Href, "/").Add(c => c.Labels, 99).Add(c => c.Sheet, SheetChoice.Default)).Find("a").GetAttribute("data-making")}</p>"));
    }
}
