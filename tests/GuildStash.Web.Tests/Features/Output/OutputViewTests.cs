using AngleSharp.Dom;
using Bunit;
using GuildStash.Domain.People;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Output;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Components;
using Xunit;

namespace GuildStash.Web.Tests.Features.Output;

public sealed class OutputViewTests : ShellTest
{
    private static readonly OutputRow[] Rows =
    [
        new("Quayside Shelter", 2026, 60, 4_000_000, 8_000, 0),
        new("Saltmouth Infirmary", 2026, 20, 1_000_000, 1_000, 0),
        new("Quayside Shelter", 2025, 20, 3_000_000, 0, 3_000_000),
        new("", 2025, 0, 2_000_000, 1_000, 0),
    ];

    [Theory]
    [InlineData(OutputMeasure.Pieces, LengthUnit.Metres, "2026 80 80.0 %, 2025 20 20.0 %, Total 100 100.0 %", "Quayside Shelter 80 80.0 %, Saltmouth Infirmary 20 20.0 %, No recipient named 0 0.0 %, Total 100 100.0 %")]
    [InlineData(OutputMeasure.Length, LengthUnit.Metres, "2026 9,000 90.0 %, 2025 1,000 10.0 %, Total 10,000 100.0 %", "Quayside Shelter 8,000 80.0 %, No recipient named 1,000 10.0 %, Saltmouth Infirmary 1,000 10.0 %, Total 10,000 100.0 %")]
    [InlineData(OutputMeasure.Length, LengthUnit.Yards, "2026 9,843 90.0 %, 2025 1,094 10.0 %, Total 10,936 100.0 %", "Quayside Shelter 8,749 80.0 %, No recipient named 1,094 10.0 %, Saltmouth Infirmary 1,094 10.0 %, Total 10,936 100.0 %")]
    [InlineData(OutputMeasure.Grams, LengthUnit.Metres, "2026 5,000 50.0 %, 2025 5,000 50.0 %, Total 10,000 100.0 %", "Quayside Shelter 7,000 70.0 %, No recipient named 2,000 20.0 %, Saltmouth Infirmary 1,000 10.0 %, Total 10,000 100.0 %")]
    public void Show_WhenAMeasureIsChosen_TheTablesOfTheBarsTellItsFiguresAndShares(OutputMeasure measure, LengthUnit unit, string years, string recipients)
    {
        Use(unit);
        IRenderedComponent<OutputCharts> charts = Charts(Rows, measure);

        Assert.Equal([years, recipients], charts.FindAll("table").Select(Told));
    }

    [Fact]
    public void Draw_WhenYearsDiffer_BarsAreInProportionToTheLongest()
    {
        Use(LengthUnit.Metres);
        double[] widths = [.. Charts(Rows, OutputMeasure.Pieces).FindAll("table")[0].QuerySelectorAll(".bar .piece").Select(bar => double.Parse(bar.GetAttribute("width")!.TrimEnd('%'), System.Globalization.CultureInfo.InvariantCulture))];

        Assert.Equal(2, widths.Length);
        Assert.Equal(widths[0], 4 * widths[1], 2);
    }

    [Fact]
    public void Link_WhenAFilterIsSet_BarsKeepItAndTheMeasure()
    {
        Use(LengthUnit.Metres);
        OutputFilter filter = new(null, "Quayside Shelter");
        IRenderedComponent<OutputCharts> charts = Ui.Render<OutputCharts>(p => p.Add(c => c.Rows, [.. Rows.Where(filter.Takes)]).Add(c => c.Filter, filter).Add(c => c.Measure, OutputMeasure.Grams));

        Assert.Equal(["/output?year=2026&recipient=Quayside%20Shelter&unit=grams", "/output?year=2025&recipient=Quayside%20Shelter&unit=grams"], charts.FindAll("table a").Select(a => a.GetAttribute("href")));
        Assert.Equal("/output?recipient=Quayside%20Shelter", charts.Find("nav a").GetAttribute("href"));
        Assert.Equal(new OutputFilter(2026, ""), OutputFilter.Read("2026", "-"));
        Assert.Equal(new OutputFilter(null, null), OutputFilter.Read("x", " "));
    }

    [Fact]
    public void Draw_WhenThereAreManyRecipients_TheSmallestShareOneBarAndNothingIsLost()
    {
        OutputRow[] many = [.. Enumerable.Range(1, 30).Select(n => new OutputRow($"R{n:00}", 2026, n, 0, 0, 0))];
        IReadOnlyList<OutputBar<string>> bars = OutputBars.ByRecipient(many, OutputMeasure.Pieces);

        Assert.Equal(OutputBars.MostRecipients + 1, bars.Count);
        Assert.Equal((null, 18, 171L), (bars[^1].Key, bars[^1].Count, bars[^1].Sum.Pieces));
        Assert.Equal(465, bars.Sum(b => b.Sum.Pieces));
        Assert.Equal(1000, bars.Sum(b => b.Tenths));
    }

    [Fact]
    public void Table_WhenALengthIsNotKnown_SaysSoAndAddsTheRestUp()
    {
        Use(LengthUnit.Metres);
        IElement[] rows = [.. Ui.Render<OutputTable>(p => p.Add(c => c.Rows, Rows)).FindAll("tbody tr, tfoot tr")];

        Assert.Equal(["Quayside Shelter 2026 60 8,000 m 4 kg", "Saltmouth Infirmary 2026 20 1,000 m 1 kg", "Quayside Shelter 2025 20 ? 3 kg", "No recipient named 2025 0 1,000 m 2 kg", "Total 100 10.0 km 10 kg"], rows.Select(Words));
    }

    [Fact]
    public void Say_WhenInAnotherLanguage_AllButNamesAreLocalised()
    {
        Read(PseudoLanguage.CultureName);
        Use(LengthUnit.Metres);

        Assert.Empty(UntranslatedText.Find(Charts(Rows, OutputMeasure.Pieces).Markup));
        Assert.Empty(UntranslatedText.Find(Ui.Render<OutputTable>(p => p.Add(c => c.Rows, Rows)).Markup));
    }

    private IRenderedComponent<OutputCharts> Charts(OutputRow[] rows, OutputMeasure measure) =>
        Ui.Render<OutputCharts>(p => p.Add(c => c.Rows, rows).Add(c => c.Filter, new OutputFilter(null, null)).Add(c => c.Measure, measure));

    private static string Told(IElement table) => string.Join(", ", table.QuerySelectorAll("tbody tr, tfoot tr").Select(Words));

    private static string Words(IElement row) => string.Join(' ', row.TextContent.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));
}
