using System.Globalization;
using GuildStash.Web.Features.Inventory;

namespace GuildStash.Web.Features.Output;

/// <summary>What the bars of the output are drawn by.</summary>
public enum OutputMeasure
{
    Pieces = 0,
    Length = 1,
    Grams = 2,
}

/// <summary>Which part of the output is looked at; read from the address, where what can't be read counts as not said.</summary>
/// <param name="Year">Null: all years.</param>
/// <param name="Recipient">Null: all; empty: those without one.</param>
public sealed record OutputFilter(int? Year, string? Recipient)
{
    public const string NoRecipient = "-";

    public static OutputFilter Read(string? year, string? recipient) => new(
        int.TryParse(year, NumberStyles.None, CultureInfo.InvariantCulture, out int known) ? known : null,
        string.IsNullOrWhiteSpace(recipient) ? null : recipient.Trim() == NoRecipient ? "" : recipient.Trim());

    public bool Takes(OutputRow row) => (Year is null || row.Year == Year) && (Recipient is null || row.Recipient == Recipient);

    /// <summary>Address of a page or a file with this filter.</summary>
    public string Href(string path, OutputMeasure measure = OutputMeasure.Pieces)
    {
        List<string> words = [];
        if (Year is { } year)
        {
            words.Add(string.Create(CultureInfo.InvariantCulture, $"year={year}"));
        }

        if (Recipient is { } recipient)
        {
            words.Add("recipient=" + Uri.EscapeDataString(recipient.Length == 0 ? NoRecipient : recipient));
        }

        if (measure != OutputMeasure.Pieces)
        {
            words.Add("unit=" + measure.ToString().ToLowerInvariant());
        }

        return words.Count == 0 ? path : $"{path}?{string.Join('&', words)}";
    }
}

/// <summary>Sums over some rows of the output.</summary>
public sealed record OutputSum(long Pieces, long Mg, double Metres, long UnmeasuredMg)
{
    public static OutputSum Of(IEnumerable<OutputRow> rows) =>
        rows.Aggregate(new OutputSum(0, 0, 0, 0), (sum, r) => new(sum.Pieces + r.Pieces, sum.Mg + r.Mg, sum.Metres + r.Metres, sum.UnmeasuredMg + r.UnmeasuredMg));

    /// <summary>What a bar is as long as; never below zero.</summary>
    public double By(OutputMeasure measure) => Math.Max(0, measure switch
    {
        OutputMeasure.Length => Metres,
        OutputMeasure.Grams => Mg,
        _ => Pieces,
    });
}

/// <summary>One bar before it has words: a year or a recipient, the smallest of which may be together.</summary>
/// <param name="Key">Year or recipient; null for those that are together.</param>
/// <param name="Count">How many it stands for.</param>
/// <param name="Tenths">Share of all in tenths of a percent.</param>
public sealed record OutputBar<TKey>(TKey? Key, int Count, OutputSum Sum, int Tenths);

/// <summary>The bars of the output.</summary>
public static class OutputBars
{
    /// <summary>Recipients with a bar of their own; the others share one. As many as are seen at a glance, a judgement.</summary>
    public const int MostRecipients = 12;

    /// <summary>Years in their order, the newest first.</summary>
    public static IReadOnlyList<OutputBar<int?>> ByYear(IReadOnlyList<OutputRow> rows, OutputMeasure measure) =>
        WithShares(rows.GroupBy(r => r.Year).OrderByDescending(g => g.Key).Select(g => ((int?)g.Key, 1, OutputSum.Of(g))), measure);

    /// <summary>Recipients, the greatest first, and one bar for the smallest together.</summary>
    public static IReadOnlyList<OutputBar<string>> ByRecipient(IReadOnlyList<OutputRow> rows, OutputMeasure measure)
    {
        List<(string? Key, int Count, OutputSum Sum)> all = [.. rows.GroupBy(r => r.Recipient)
            .Select(g => ((string?)g.Key, 1, OutputSum.Of(g)))
            .OrderByDescending(r => r.Item3.By(measure)).ThenBy(r => r.Item1, StringComparer.CurrentCulture)];
        if (all.Count > MostRecipients + 1)
        {
            HashSet<string?> own = [.. all.Take(MostRecipients).Select(r => r.Key)];
            all = [.. all.Take(MostRecipients), (null, all.Count - MostRecipients, OutputSum.Of(rows.Where(r => !own.Contains(r.Recipient))))];
        }

        return WithShares(all, measure);
    }

    private static List<OutputBar<TKey>> WithShares<TKey>(IEnumerable<(TKey? Key, int Count, OutputSum Sum)> bars, OutputMeasure measure)
    {
        List<(TKey? Key, int Count, OutputSum Sum)> all = [.. bars];
        int[] tenths = Shares.Tenths([.. all.Select(bar => bar.Sum.By(measure))]);
        return [.. all.Select((bar, i) => new OutputBar<TKey>(bar.Key, bar.Count, bar.Sum, tenths[i]))];
    }
}
