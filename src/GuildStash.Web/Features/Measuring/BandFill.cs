using System.Globalization;
using GuildStash.Domain.Bands;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Sorting;

namespace GuildStash.Web.Features.Measuring;

/// <summary>
/// What a band's words say as fields and as evidence: the one reading for measuring page, bench and API. What it says twice and not the
/// same is left to the person.
/// </summary>
public sealed record BandFill
{
    public static BandFill Nothing { get; } = new();

    /// <summary>Length of a ball in <see cref="Unit"/>.</summary>
    public decimal? Length { get; private init; }

    /// <summary>The unit in which the length is the rounder figure, which is the one that stands on the band.</summary>
    public LengthUnit Unit { get; private init; } = LengthUnit.Metres;

    public decimal? Grams { get; private init; }

    /// <summary>A count with its system, as <see cref="YarnCount.Parse"/> reads it; empty for none.</summary>
    public string Count { get; private init; } = "";

    /// <summary>Stitches over 10 cm, the middle of a span.</summary>
    public decimal? Gauge { get; private init; }

    /// <summary>Only where the words mean one class.</summary>
    public WeightClass? WeightClass { get; private init; }

    public IReadOnlyList<FibreShare> Fibres { get; private init; } = [];

    /// <summary>Metres in 100 g that a name of thickness stands for, about.</summary>
    public double? NamedMetresPer100Grams { get; private init; }

    /// <summary>At most 20 characters; empty for none.</summary>
    public string DyeLot { get; private init; } = "";

    /// <summary>How it may be washed, as it stands on the band; empty for none.</summary>
    public string Care { get; private init; } = "";

    /// <summary>°C, the warmest water it allows; null where the band does not say.</summary>
    public int? MaxCelsius { get; private init; }

    /// <summary>Null where the band does not say.</summary>
    public bool? MachineWashable { get; private init; }

    /// <summary>What no field took, in the order of the band: unknown words, needles, what is contradicted or must be asked first.</summary>
    public IReadOnlyList<string> Left { get; private init; } = [];

    /// <summary>The evidence with what the band adds to it; what stands there already goes before the band.</summary>
    /// <param name="fibresToo">Whether the band's fibres count, since none were entered.</param>
    public YarnEvidence Into(YarnEvidence evidence, bool fibresToo) => evidence with
    {
        Band = evidence.Band ?? (Length is { } length && Grams is { } grams && Domain.Quantities.Band.Create(Metres(length, Unit), grams) is { IsOk: true } band ? band.Value : null),
        Count = evidence.Count ?? Reading,
        Gauge = evidence.Gauge ?? (Gauge is { } stitches && Domain.Quantities.Gauge.Create(stitches) is { IsOk: true } gauge ? gauge.Value : null),
        AssertedClass = evidence.AssertedClass ?? WeightClass,
        Fibres = fibresToo && Content is { } content ? content : evidence.Fibres,
        FibreGroup = fibresToo && Content is { } grouped ? FibreGroups.Of(grouped) : evidence.FibreGroup,
    };

    private FibreContent? Content => Fibres.Count > 0 && FibreContent.Create(Fibres) is { IsOk: true } fibres ? fibres.Value : null;

    /// <summary>A count says it better than a name of thickness.</summary>
    public CountReading? Reading
    {
        get
        {
            if (Count.Length == 0 && NamedMetresPer100Grams is null)
            {
                return null;
            }

            Outcome<CountReading> read = Count.Length > 0
                ? CountFields.Of(Count, "bandText")
                : CountReading.Create(LinearDensity.FromMetresPer100Grams(NamedMetresPer100Grams!.Value), CountKind.TradeName);
            return read.IsOk ? read.Value : null;
        }
    }

    /// <summary>A length in the unit of its field.</summary>
    public static decimal Metres(decimal length, LengthUnit unit) => unit == LengthUnit.Yards ? length * (decimal)Domain.Quantities.Length.MetresPerYard : length;

    public static BandFill Of(BandText text)
    {
        (decimal? length, LengthUnit unit) = text.Band is { } band ? AsPrinted(band.Length) : ((decimal?)null, LengthUnit.Metres);
        BandRange? gauge = Undisputed<GaugeField>(text)?.StitchesPer10Cm;
        return new()
        {
            Length = length,
            Unit = unit,
            Grams = text.Band?.Mass.Grams,
            Count = Undisputed<CountField>(text) is { Count: { } count } field ? AsText(field, count) : "",
            Gauge = gauge is null ? null : (gauge.Low + gauge.High) / 2,
            WeightClass = ClassOf(text),
            Fibres = Undisputed<FibresField>(text)?.Content?.Shares ?? [],
            NamedMetresPer100Grams = MetresOfName(text),
            DyeLot = Undisputed<DyeLotField>(text)?.DyeLot ?? "",
            Care = string.Join(' ', text.Of<CareField>().SelectMany(field => field.Pieces).Select(piece => piece.Text)),
            MaxCelsius = Undisputed<CareField>(text)?.Label.MaxCelsius,
            MachineWashable = Undisputed<CareField>(text)?.Label.MachineWashable,
            Left = LeftOf(text),
        };
    }

    /// <summary>Pieces with nothing but a stroke between them, such as "420 m/100 g", stay together.</summary>
    private static List<string> LeftOf(BandText text)
    {
        List<string> left = [];
        int end = -1;
        foreach (BandPiece piece in text.Fields.Where(field => !IsTaken(text, field)).SelectMany(field => field.Pieces).Concat(text.NotUnderstood).OrderBy(piece => piece.Start))
        {
            string between = end < 0 || end > piece.Start ? " " : text.Text[end..piece.Start];
            if (between is "" or "/")
            {
                left[^1] += between + piece.Text;
            }
            else
            {
                left.Add(piece.Text);
            }

            end = piece.End;
        }

        return left;
    }

    private static bool IsTaken(BandText text, BandField field) => field switch
    {
        CareField => true,
        _ when text.Conflicts.Any(conflict => conflict.Pieces.Contains(field.Pieces[0])) => false,
        BandLengthField or GaugeField or DyeLotField => true,
        CountField count => count.Count is not null,
        FibresField fibres => fibres.Content is not null,
        ThicknessField => ClassOf(text) is not null,
        _ => false,
    };

    private static T? Undisputed<T>(BandText text)
        where T : BandField => text.Of<T>().FirstOrDefault(field => !text.Conflicts.Any(conflict => conflict.Pieces.Contains(field.Pieces[0])));

    private static (decimal? Length, LengthUnit Unit) AsPrinted(Length length)
    {
        bool isWholeYards = Math.Abs(length.Yards - Math.Round(length.Yards)) < 1e-6;
        bool isWholeMetres = Math.Abs(length.Metres - Math.Round(length.Metres)) < 1e-6;
        return isWholeYards && !isWholeMetres
            ? ((decimal)Math.Round(length.Metres / Domain.Quantities.Length.MetresPerYard), LengthUnit.Yards)
            : (Math.Round((decimal)length.Metres, 3), LengthUnit.Metres);
    }

    private static string AsText(CountField field, YarnCount count)
    {
        string typed = string.Join(' ', field.Pieces.Select(piece => piece.Text));
        string resultant = count.Resultant.ToString("0.####", CultureInfo.InvariantCulture);
        string[] ways = [typed, $"{count.System.Key()} {typed}", $"{count.System.Key()} {resultant}"];
        return ways.FirstOrDefault(way => YarnCount.Parse(way) is { IsOk: true } read && Math.Abs(read.Value.Resultant - count.Resultant) < 1e-9) ?? ways[^1];
    }

    /// <summary>"worsted 4" names class 4 and within it worsted; two names that only overlap name none.</summary>
    private static WeightClass? ClassOf(BandText text)
    {
        if (text.Of<ThicknessField>().Any(field => text.Conflicts.Any(conflict => conflict.Pieces.Contains(field.Pieces[0]))))
        {
            return null;
        }

        WeightClass[] named = [.. text.Of<ThicknessField>().Where(field => field.Thickness.Classes.Count == 1).Select(field => field.Thickness.Classes[0]).Distinct()];
        WeightClass[] exact = named.Length > 1 ? [.. named.Where(each => each != Domain.WeightClasses.WeightClass.Medium)] : named;
        return exact.Length == 1 ? exact[0] : null;
    }

    private static double? MetresOfName(BandText text) =>
        text.Of<ThicknessField>().Select(field => field.Thickness).FirstOrDefault(each => each.MaxMetresPerGram is not null) is { MaxMetresPerGram: { } most } name
            ? 100 * Math.Sqrt((double)(most * (name.MinMetresPerGram ?? most)))
            : null;
}
