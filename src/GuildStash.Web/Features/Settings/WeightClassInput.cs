using System.Globalization;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Settings;

/// <summary>One class as it was entered; lengths in metres to 100 g.</summary>
/// <param name="WrapsUpTo">Ignored for the finest class, which has no upper end, and for worsted and aran, which share that of both.</param>
public sealed record WeightClassRowInput(WeightClass WeightClass, decimal? MetresLow, decimal? MetresHigh, decimal? WrapsUpTo);

/// <summary>A table of weight classes as it was entered. Each class begins where the next thicker one ends, so that there can be no hole.</summary>
public sealed record WeightClassTableInput
{
    private const char Between = '_';

    /// <summary>The name that is stored with every figure.</summary>
    public string? Name { get; init; }

    /// <summary>The table that comes with the program; then nothing else counts.</summary>
    public bool IsStandard { get; init; }

    public IReadOnlyList<WeightClassRowInput> Rows { get; init; } = [];

    public static WeightClassTableInput Of(WeightClassTable table) => new()
    {
        Name = table.Version,
        Rows =
        [
            .. table.Rows.Select(row => new WeightClassRowInput(
                row.WeightClass,
                (decimal)row.Low.MetresPer100Grams,
                (decimal)row.High.MetresPer100Grams,
                double.IsPositiveInfinity(row.WrapsUpTo) ? null : (decimal)row.WrapsUpTo)),
        ],
    };

    /// <summary>The table, or what is wrong with it, each refusal at the row it belongs to.</summary>
    public Outcome<WeightClassTable> Read()
    {
        if (IsStandard)
        {
            return WeightClassTableInForce.Standard;
        }

        Check check = new();
        foreach (WeightClassRowInput row in Rows)
        {
            string field = WeightClassTableRules.FieldOf(row.WeightClass);
            check.That(IsLength(row.MetresLow) && IsLength(row.MetresHigh), field,
                "{0}: enter the low and the high length of 100 g, each more than 0.", row.WeightClass.Name());
            check.That(!HasOwnEnd(row.WeightClass) || row.WrapsUpTo is > 0 and <= Wraps.MaxCount, field,
                "{0}: enter up to how many wraps it reaches, more than 0 and at most {1}.", row.WeightClass.Name(), Wraps.MaxCount);
        }

        return check.Failed ? check.Refuse<WeightClassTable>() : WeightClassTable.Create(Name ?? "", Rows.Select(RowOf));
    }

    /// <summary>Whether the upper end of its wraps is entered at this class.</summary>
    public static bool HasOwnEnd(WeightClass weightClass) => weightClass is not (WeightClass.Lace or WeightClass.Worsted or WeightClass.Aran);

    /// <summary>As part of an address: name and numbers, invariant.</summary>
    public string ToQuery() => IsStandard
        ? "standard=true"
        : $"name={Uri.EscapeDataString(Name ?? "")}&rows={Uri.EscapeDataString(string.Join(Between, Rows.SelectMany(row => new[] { row.MetresLow, row.MetresHigh, row.WrapsUpTo }).Select(Text)))}";

    public static WeightClassTableInput OfQuery(bool isStandard, string? name, string? rows)
    {
        decimal?[] numbers = [.. (rows ?? "").Split(Between).Select(Number)];
        WeightClass[] classes = Enum.GetValues<WeightClass>();
        return new()
        {
            IsStandard = isStandard,
            Name = name,
            Rows = numbers.Length == 3 * classes.Length
                ? [.. classes.Select((each, at) => new WeightClassRowInput(each, numbers[3 * at], numbers[(3 * at) + 1], numbers[(3 * at) + 2]))]
                : [],
        };
    }

    private static bool IsLength(decimal? metres) => metres is > 0 and < 1_000_000;

    private static string Text(decimal? number) => number?.ToString(CultureInfo.InvariantCulture) ?? "";

    private static decimal? Number(string text) => decimal.TryParse(text, NumberStyles.Number, CultureInfo.InvariantCulture, out decimal number) ? number : null;

    private WeightClassRow RowOf(WeightClassRowInput row) => new(
        row.WeightClass,
        LinearDensity.FromMetresPer100Grams((double)row.MetresLow!.Value),
        LinearDensity.FromMetresPer100Grams((double)row.MetresHigh!.Value),
        Thicker(row.WeightClass) is { } thicker ? End(thicker) : 0,
        row.WeightClass == WeightClass.Lace ? double.PositiveInfinity : End(IsHalf(row.WeightClass) ? WeightClass.Medium : row.WeightClass));

    private double End(WeightClass weightClass) => (double)(Rows.FirstOrDefault(row => row.WeightClass == weightClass)?.WrapsUpTo ?? 0);

    private static bool IsHalf(WeightClass weightClass) => weightClass is WeightClass.Worsted or WeightClass.Aran;

    /// <summary>The class that begins where this one ends; null for the thickest.</summary>
    private static WeightClass? Thicker(WeightClass weightClass) => weightClass switch
    {
        WeightClass.Jumbo => null,
        WeightClass.Dk => WeightClass.Medium,
        WeightClass.Worsted or WeightClass.Aran => WeightClass.Bulky,
        _ => weightClass + 1,
    };
}
