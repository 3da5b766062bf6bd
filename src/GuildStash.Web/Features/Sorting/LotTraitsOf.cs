using GuildStash.Data.Stock;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Measuring;

namespace GuildStash.Web.Features.Sorting;

/// <summary>A stored lot seen through the domain's eyes.</summary>
public static class LotTraitsOf
{
    public static YarnEvidence Evidence(Lot lot) => new()
    {
        AssertedClass = lot.AssertedClass,
        Wraps = lot.WrapsCount is { } count ? Wraps.Create(count, lot.WrapsInches ?? 1, lot.WrapsRepeats).Value : null,
        Sealed = SealedInLot.Part(lot),
        Band = lot is { BandMetres: { } metres, BandMg: { } mg } ? Band.Create((decimal)metres, mg / 1000m).Value : null,
        Sample = lot is { SampleMetres: { } length, SampleMg: { } sample } ? WeighedSample.Create((decimal)length, sample / 1000m, lot.SampleDivisionMg / 1000m, (decimal?)lot.SampleErrorMetres, lot.SampleIsDifference).Value : null,
        Count = CountOf(lot),
        Gauge = lot.GaugeStitches is { } stitches ? Gauge.Create(stitches, lot.GaugeCm ?? 10).Value : null,
        FibreGroup = FibreGroups.Of(Fibres(lot)),
        Fibres = Fibres(lot),
        Texture = lot.Texture,
        ScaleDivision = lot.ScaleDivisionMg is { } division ? Mass.FromMilligrams(division) : null,
    };

    /// <summary>A count says it better than a name of thickness.</summary>
    private static CountReading? CountOf(Lot lot) => lot switch
    {
        { YarnCount.Length: > 0 } => CountFields.Of(lot.YarnCount, "yarnCount", Notation(lot)).Value,
        { NamedMetresPer100g: { } named } => CountReading.Create(LinearDensity.FromMetresPer100Grams(named), CountKind.TradeName).Value,
        _ => null,
    };

    public static CountNotation Notation(Lot lot) => lot.CountIsResultant ? CountNotation.Resultant : CountNotation.Singles;

    public static FibreContent Fibres(Lot lot) =>
        FibreContent.Create(lot.FibreCodes.Select((code, i) => new FibreShare(code, i < lot.FibrePercents.Count ? lot.FibrePercents[i] : null))).Value;

    public static LotTraits Traits(Lot lot)
    {
        FibreContent fibres = Fibres(lot);
        return new LotTraits(fibres, lot.MachineWashable, lot.Conditions, lot.Texture == Texture.Metallic || fibres.HasMetallic, lot.Softness);
    }

    /// <summary>Length of a mass of the lot, or null while class and evidence are unknown.</summary>
    public static LengthRange? LengthOf(Lot lot, long mg) => LengthOf(Stored(lot), lot, mg);

    /// <summary>The same by another estimate.</summary>
    public static LengthRange? LengthOf(YardageEstimate? estimate, Lot lot, long mg) => estimate?.LengthOf(Mass.FromMilligrams(mg), Division(lot));

    /// <summary>The figures as they are stored: what was promised stays promised until the lot is computed anew. They have no words.</summary>
    public static YardageEstimate? Stored(Lot lot) =>
        lot is { MetresPer100gLow: { } low, MetresPer100gLikely: { } likely, MetresPer100gHigh: { } high }
            ? new(
                lot.WeightClass,
                LinearDensity.FromMetresPer100Grams(low),
                LinearDensity.FromMetresPer100Grams(likely),
                LinearDensity.FromMetresPer100Grams(high),
                lot.EstimateBasis,
                new(""),
                lot.ModelVersion,
                lot.TableVersion)
            : null;

    private static Mass? Division(Lot lot) => lot.ScaleDivisionMg is { } mg ? Mass.FromMilligrams(mg) : null;
}
