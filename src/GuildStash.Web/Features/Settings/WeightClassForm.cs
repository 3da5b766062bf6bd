using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Infrastructure.Display;

namespace GuildStash.Web.Features.Settings;

/// <summary>A table of weight classes while it is typed; lengths are in the person's unit.</summary>
public sealed class WeightClassForm
{
    private const int Decimals = 2;

    public string? Name { get; set; }

    public IReadOnlyList<Row> Rows { get; private init; } = [];

    public static WeightClassForm Of(WeightClassTable table, string name, PersonDisplay display) => new()
    {
        Name = name,
        Rows =
        [
            .. WeightClassTableInput.Of(table).Rows.Select(row => new Row(row.WeightClass)
            {
                Low = Shown(row.MetresLow, display),
                High = Shown(row.MetresHigh, display),
                WrapsUpTo = row.WrapsUpTo,
            }),
        ],
    };

    /// <summary>What stands in the form; a length that nobody touched is exactly that of the table, not what was rounded for the eye.</summary>
    public WeightClassTableInput ToInput(WeightClassTable shown, PersonDisplay display) => new()
    {
        Name = Name,
        Rows =
        [
            .. WeightClassTableInput.Of(shown).Rows.Zip(Rows, (before, row) => new WeightClassRowInput(
                row.WeightClass,
                Shown(before.MetresLow, display) == row.Low ? before.MetresLow : Metres(row.Low, display),
                Shown(before.MetresHigh, display) == row.High ? before.MetresHigh : Metres(row.High, display),
                row.WrapsUpTo)),
        ],
    };

    /// <summary>Where the class begins, by what stands at the next thicker one.</summary>
    public decimal? BeginsAbove(WeightClass weightClass) => weightClass switch
    {
        WeightClass.Jumbo => 0,
        WeightClass.Dk => End(WeightClass.Medium),
        WeightClass.Worsted or WeightClass.Aran => End(WeightClass.Bulky),
        _ => End(weightClass + 1),
    };

    public decimal? End(WeightClass weightClass) =>
        Rows.FirstOrDefault(row => row.WeightClass == (weightClass is WeightClass.Worsted or WeightClass.Aran ? WeightClass.Medium : weightClass))?.WrapsUpTo;

    private static decimal? Shown(decimal? metres, PersonDisplay display) =>
        metres is { } known ? Math.Round((decimal)display.FromMetres((double)known), Decimals) : null;

    private static decimal? Metres(decimal? inUnit, PersonDisplay display) =>
        inUnit is { } known && Math.Abs(known) < 1_000_000 ? (decimal)display.ToMetres((double)known) : inUnit;

    /// <summary>One class.</summary>
    public sealed class Row(WeightClass weightClass)
    {
        public WeightClass WeightClass { get; } = weightClass;

        public string Field { get; } = WeightClassTableRules.FieldOf(weightClass);

        public decimal? Low { get; set; }

        public decimal? High { get; set; }

        public decimal? WrapsUpTo { get; set; }

        public IReadOnlyList<Refusal> Wrong(IReadOnlyList<Refusal> all) => [.. all.Where(refusal => refusal.Field == Field)];
    }
}
