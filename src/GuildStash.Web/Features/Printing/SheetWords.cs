using GuildStash.Printing;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Printing;

/// <summary>How much paper labels take.</summary>
internal static class SheetWords
{
    /// <summary>How many sheets they take, and where the next labels may begin.</summary>
    /// <param name="labels">1 and more.</param>
    public static string SheetsNeeded(this IStringLocalizer<Texts> texts, SheetOptions options, int labels)
    {
        LabelSheetLayout layout = Layout(options);
        int next = ((options.Start - 1 + labels) % layout.LabelsPerPage) + 1;
        return (Sheets(options, labels), next) switch
        {
            _ when labels == 1 => next == 1 ? texts["1 label, the last one of its sheet."] : texts["1 label; label {0} is the next free one.", next],
            (1, 1) => texts["{0} labels on one sheet, which is used up.", labels],
            (1, _) => texts["{0} labels on one sheet; label {1} is the next free one.", labels, next],
            (var sheets, 1) => texts["{0} labels on {1} sheets, which are used up.", labels, sheets],
            (var sheets, _) => texts["{0} labels on {1} sheets; label {2} of the last is the next free one.", labels, sheets, next],
        };
    }

    public static int Sheets(SheetOptions options, int labels) => ((options.Start - 2 + labels) / Layout(options).LabelsPerPage) + 1;

    public static LabelSheetLayout Layout(SheetOptions options) => LabelSheetLayout.Find(options.Sheet) ?? LabelSheetLayout.All[0];
}
