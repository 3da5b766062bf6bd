using GuildStash.Domain.Rules;
using GuildStash.Printing;

namespace GuildStash.Web.Features.Printing;

/// <summary>On which sheet labels are printed, and where on it printing begins.</summary>
public sealed record LabelJob(LabelSheetLayout Layout, LabelPlacement Placement)
{
    public const int MostLabels = 500;

    /// <param name="sheet">A layout's key; the first layout when empty.</param>
    /// <param name="start">First free label, from 1.</param>
    /// <param name="nudgeX">Correction to the right, mm.</param>
    /// <param name="nudgeY">Correction downwards, mm.</param>
    public static Outcome<LabelJob> Create(string? sheet, int? start, double? nudgeX, double? nudgeY)
    {
        LabelSheetLayout? layout = string.IsNullOrWhiteSpace(sheet) ? LabelSheetLayout.All[0] : LabelSheetLayout.Find(sheet);
        if (layout is null)
        {
            return Refusal.Invalid("sheet", "There is no such sheet of labels. Known are {0}.", string.Join(", ", LabelSheetLayout.All.Select(l => l.Key)));
        }

        int first = start ?? 1;
        if (first < 1 || first > layout.LabelsPerPage)
        {
            return Refusal.Invalid("start", "This sheet has the labels 1 to {0}; {1} was asked for.", layout.LabelsPerPage, first);
        }

        (double x, double y) = (nudgeX ?? 0, nudgeY ?? 0);
        return Math.Abs(x) <= LabelPlacement.MaxNudge && Math.Abs(y) <= LabelPlacement.MaxNudge
            ? new LabelJob(layout, new LabelPlacement(first, x, y))
            : Refusal.Invalid("nudge", "Printing can be moved by at most {0} mm either way.", LabelPlacement.MaxNudge);
    }

    /// <summary>Codes separated by commas or spaces, each as often as it stands there.</summary>
    public static Outcome<string[]> Codes(string? codes)
    {
        string[] each = (codes ?? "").Split([',', ' ', ';', '\n', '\r', '\t'], StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        return each.Length is >= 1 and <= MostLabels
            ? each
            : Refusal.Invalid("codes", "Name 1 to {0} codes, separated by commas; {1} were given.", MostLabels, each.Length);
    }
}
