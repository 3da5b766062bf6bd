using System.Globalization;
using GuildStash.Printing;
using Microsoft.AspNetCore.WebUtilities;

namespace GuildStash.Web.Features.Printing;

/// <summary>On which sheet labels are printed, from which label on, and how far the printer's feed is corrected.</summary>
/// <param name="Sheet">Key of a label sheet layout.</param>
/// <param name="Start">First free label, from 1.</param>
/// <param name="NudgeX">Millimetres to the right.</param>
/// <param name="NudgeY">Millimetres down.</param>
public sealed record SheetOptions(string Sheet, int Start = 1, decimal NudgeX = 0, decimal NudgeY = 0);

/// <summary>Addresses of what the print room hands out as PDF.</summary>
public static class PrintLinks
{
    /// <summary>Longest list of codes that an address is given, so that servers and proxies in front accept it.</summary>
    public const int MostCodes = LabelJob.MostLabels;

    public static string BinLabel(string code) => $"/print/bin-label/{code}.pdf";

    public static string BinLabels(IEnumerable<string> codes, SheetOptions? options = null) => WithCodes("/print/bin-labels.pdf", codes, options);

    public static string LotLabels(IEnumerable<string> codes, SheetOptions? options = null) => WithCodes("/print/lot-labels.pdf", codes, options);

    public static string TestPage(SheetOptions options) => QueryHelpers.AddQueryString("/print/test-page.pdf", Of(options));

    public static string IntakeSheet(Guid donationId, int bag) => string.Create(CultureInfo.InvariantCulture, $"/print/intake-sheet/{donationId}.pdf?bag={bag}");

    public static string WrapsCard(PaperSize size) => $"/print/wraps-card.pdf?paper={size.Key}";

    public static string SampleGauge(PaperSize size) => $"/print/sample-gauge.pdf?paper={size.Key}";

    private static string WithCodes(string path, IEnumerable<string> codes, SheetOptions? options) =>
        $"{QueryHelpers.AddQueryString(path, options is null ? [] : Of(options))}{(options is null ? '?' : '&')}codes={string.Join(',', codes.Take(MostCodes))}";

    private static Dictionary<string, string?> Of(SheetOptions options)
    {
        Dictionary<string, string?> parts = new() { ["sheet"] = options.Sheet };
        if (options.Start != 1)
        {
            parts["start"] = options.Start.ToString(CultureInfo.InvariantCulture);
        }

        if (options.NudgeX != 0)
        {
            parts["nudgeX"] = options.NudgeX.ToString(CultureInfo.InvariantCulture);
        }

        if (options.NudgeY != 0)
        {
            parts["nudgeY"] = options.NudgeY.ToString(CultureInfo.InvariantCulture);
        }

        return parts;
    }
}
