using GuildStash.Domain.Bands;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Web.Features.Measuring;

/// <summary>What was understood of a band, in words.</summary>
public static class BandWords
{
    public static Phrase Of(BandField field) => field switch
    {
        BandLengthField { MassAssumed: true } length => new("{0} m ({1} yd) to {2} g: the band gives no grams, so 50 g are taken", Rounded(length.Band.Length.Metres), Rounded(length.Band.Length.Yards), length.Band.Mass.Grams),
        BandLengthField length => new("{0} m ({1} yd) to {2} g", Rounded(length.Band.Length.Metres), Rounded(length.Band.Length.Yards), length.Band.Mass.Grams),
        LoneLengthField length => new("{0} m ({1} yd), but not to how many grams", Rounded(length.Length.Metres), Rounded(length.Length.Yards)),
        LoneMassField mass => new("{0} g, but not how long they are", mass.Mass.Grams),
        CountField { Count: { } count } => new("a count: {0} m ({1} yd) to 100 g", Rounded(count.Density.MetresPer100Grams), Rounded(count.Density.YardsPer100Grams)),
        CountField => new("a count, once its system is known"),
        ThicknessField thickness => Of(thickness.Thickness),
        FibresField fibres => fibres.Fibres.Select(Of).Aggregate((soFar, next) => new Phrase("{0}, {1}", soFar, next)),
        NeedleField { IsHook: true } hook => new("hook {0} mm", Span(hook.Millimetres)),
        NeedleField needle => new("needles {0} mm", Span(needle.Millimetres)),
        GaugeField { RowsPer10Cm: { } rows } gauge => new("{0} stitches and {1} rows to 10 cm", Span(gauge.StitchesPer10Cm), Span(rows)),
        GaugeField gauge => new("{0} stitches to 10 cm", Span(gauge.StitchesPer10Cm)),
        CareField care => care.Label.Describe(),
        DyeLotField dyeLot => new("dye lot {0}", dyeLot.DyeLot),
        _ => throw new ArgumentOutOfRangeException(nameof(field), field, "Not a field of a band."),
    };

    private static Phrase Of(Thickness thickness)
    {
        Phrase said = thickness switch
        {
            { Question: not null } => new("{0}: which thickness that is, depends on the country", thickness.Name),
            { MaxMetresPerGram: { } most, MinMetresPerGram: { } least } when least < most => new("{0}: about {1} to {2} m to 1 g", thickness.Name, least, most),
            { MaxMetresPerGram: { } most } => new("{0}: about {1} m to 1 g", thickness.Name, most),
            { Classes.Count: 0 } => new("{0}", thickness.Name),
            _ => new("{0}: {1}", thickness.Name, thickness.Classes.Select(each => each.Name()).Aggregate((one, other) => new Phrase("{0}, or {1}", one, other))),
        };
        return thickness.Remark is null ? said : new("{0}. {1}", said, thickness.Remark);
    }

    private static Phrase Of(BandFibre fibre)
    {
        Phrase name = fibre.Fibre?.Name ?? new Phrase("“{0}”, which is not in the fibre table", fibre.Word);
        return fibre.Percent is { } percent ? new("{0:0.##} % {1}", percent, name) : name;
    }

    private static Phrase Span(BandRange range) => range.Low == range.High ? new("{0:0.##}", range.Low) : new("{0:0.##} to {1:0.##}", range.Low, range.High);

    private static double Rounded(double value) => Math.Round(value, value < 10 ? 1 : 0);
}
