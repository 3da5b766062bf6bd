using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Printing;

namespace GuildStash.Web.Features.Printing;

/// <summary>The papers that one measures with: they hold the table's figures and nothing of the guild's yarn.</summary>
public static class BenchPapers
{
    public static Outcome<PrintedPaper> WrapsCard(string? paper, WeightClassTable table, PrintTexts texts) =>
        On(paper, size => new PrintedPaper("wraps-card.pdf", WrapsCardDocument.Render(Rows(table, texts), table.Version, size, texts)));

    public static Outcome<PrintedPaper> SampleGauge(string? paper, WeightClassTable table, PrintTexts texts) =>
        On(paper, size => new PrintedPaper("sample-gauge.pdf", SampleGaugeDocument.Render(Rows(table, texts), size, texts)));

    private static Outcome<PrintedPaper> On(string? paper, Func<PaperSize, PrintedPaper> print) =>
        (string.IsNullOrEmpty(paper) ? PaperSize.A4 : PaperSize.Find(paper)) is { } size
            ? print(size)
            : Refusal.Invalid("paper", "There is no paper “{0}” here: {1} are.", paper!, string.Join(", ", PaperSize.All.Select(each => each.Key)));

    private static PrintedClassRow[] Rows(WeightClassTable table, PrintTexts texts) =>
    [
        .. table.RowsByWraps.Select(row => new PrintedClassRow(
            texts.Say(row.WeightClass.Name()),
            row.WeightClass.StandardNumber(),
            row.WeightClass.TypicalWraps(),
            row.WrapsAbove,
            row.WrapsUpTo,
            row.Low.MetresPer100Grams,
            row.High.MetresPer100Grams)),
    ];
}
