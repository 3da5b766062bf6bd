using GuildStash.Data.Stock;
using GuildStash.Domain.Bands;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Sorting;

/// <summary>Reads what was entered for a lot, checks it, and computes the lot's figures from it.</summary>
public static class LotFields
{
    public const decimal LargestScaleDivisionGrams = 1000;
    public const int MostBalls = 1000;

    /// <summary>The mass without the core, or null when it is unknown; what is wrong goes into the check.</summary>
    public static Mass? ReadMass(LotInput input, Check check)
    {
        if (input.MassUnknown)
        {
            check.That(input.Grams is null, "grams", "Either enter grams, or say that the mass is unknown, not both.");
            return null;
        }

        if (input.WholeBalls is { } balls and not 0)
        {
            return ReadBalls(input, balls, check);
        }

        if (input.Grams is not { } grams)
        {
            check.Add(Refusal.Invalid("grams", "Enter the grams, or say that the mass is unknown."));
            return null;
        }

        decimal core = input.CoreTareGrams ?? 0;
        check.That(core >= 0, "coreTareGrams", "The core can't weigh {0} g; allowed is 0 or more.", core);
        check.That(core <= 0 || core < grams, "coreTareGrams", "The core ({0} g) can't weigh as much as the whole cone ({1} g). Check both.", core, grams);
        check.That(input.ScaleDivisionGrams is not { } division || grams <= 0 || division <= grams, "scaleDivisionGrams",
            "A scale that reads to {0} g can't weigh {1} g. Check its smallest step.", input.ScaleDivisionGrams ?? 0, grams);
        return check.Failed ? null : check.Take(MassLimits.LotMass(grams - core));
    }

    /// <summary>Whole balls by their band, and what is loose as weighed.</summary>
    private static Mass? ReadBalls(LotInput input, int balls, Check check)
    {
        check.That(input.CoreTareGrams is null or 0, "coreTareGrams", "Whole balls have no core; a cone is weighed. Leave one of them out.");
        if (input.Band is not { } given)
        {
            check.Add(Refusal.Invalid("band", "Whole balls count by their band. Enter the band's length and grams, or weigh the balls."));
            return null;
        }

        Band? band = ReadBand(given, new Check());
        if (check.Failed || band is null)
        {
            return null;
        }

        Outcome<BallCount> count = BallCount.Create(band, balls, input.Grams ?? 0);
        if (!count.IsOk)
        {
            count.Refusals.ToList().ForEach(refusal => check.Add(refusal.Field == "looseGrams" ? refusal with { Field = "grams" } : refusal));
            return null;
        }

        return check.Take(MassLimits.LotMass(count.Value.Mass.Grams));
    }

    /// <summary>The evidence for the length; what is wrong goes into the check.</summary>
    public static YarnEvidence ReadEvidence(LotInput input, Check check)
    {
        if (input.ScaleDivisionGrams is { } division)
        {
            check.That(division is > 0 and <= LargestScaleDivisionGrams, "scaleDivisionGrams",
                "A scale division of {0} g can't be used; allowed is more than 0 and at most {1} g.", division, LargestScaleDivisionGrams);
        }

        return new YarnEvidence
        {
            AssertedClass = input.WeightClass,
            Wraps = input.Wraps is null ? null : ReadWraps(input.Wraps, check),
            Band = input.Band is null ? null : ReadBand(input.Band, check),
            Sample = input.Sample is null ? null : ReadSample(input.Sample, check),
            Count = string.IsNullOrWhiteSpace(input.YarnCount) ? null : check.Take(CountOf(input.YarnCount, "yarnCount")),
            Gauge = input.Gauge is null ? null : ReadGauge(input.Gauge, check),
            FibreGroup = FibreGroups.Of(ReadFibres(input, new Check()) ?? FibreContent.Unknown),
            Fibres = ReadFibres(input, new Check()) ?? FibreContent.Unknown,
            Texture = input.Texture,
            HasSealedBalls = input.WholeBalls is > 0,
            // What is counted and not weighed has no error of a scale.
            ScaleDivision = !input.IsCountedOnly && input.ScaleDivisionGrams is > 0 and <= LargestScaleDivisionGrams ? Mass.FromGrams(input.ScaleDivisionGrams.Value) : null,
        };
    }

    /// <summary>Writes all but mass, bin and code to the lot; nothing is written when the check failed.</summary>
    public static void Apply(Lot lot, LotInput input, YardageRules rules, Check check)
    {
        YarnEvidence evidence = ReadEvidence(input, check);
        FibreContent? fibres = ReadFibres(input, check);
        string? hex = ReadHex(input.ColourHex, check);
        int whole = Math.Clamp(input.WholeBalls ?? 0, 0, MostBalls);
        int count = input.Count ?? (whole == 0 ? 1 : whole + (input.IsCountedOnly ? 0 : 1));
        check.That(count is >= 1 and <= MostBalls, "count", "A lot has 1 to {0} balls; {1} were given.", MostBalls, count);
        string care = check.Text(input.CareNotes, "careNotes", 500);
        string dyeLot = check.Text(input.DyeLot, "dyeLot", 60);
        string notes = check.Text(input.Notes, "notes", 2000);
        string yarnCount = check.Text(input.YarnCount, "yarnCount", 40);
        if (check.Failed)
        {
            return;
        }

        lot.PutUp = input.PutUp;
        lot.Count = count;
        lot.Softness = input.Softness;
        lot.MachineWashable = input.MachineWashable;
        lot.CareNotes = care;
        lot.ColourFamily = input.Multicolour ? ColourFamily.Multicolour : input.ColourFamily ?? FamilyOf(hex);
        lot.ColourHex = hex;
        lot.Multicolour = input.Multicolour || input.ColourFamily == ColourFamily.Multicolour;
        lot.DyeLot = dyeLot;
        lot.Notes = notes;
        lot.FibreCodes = [.. fibres!.Shares.Select(s => s.Code)];
        lot.FibrePercents = [.. fibres.Shares.Where(s => s.Percent is not null).Select(s => s.Percent!.Value)];
        lot.FibreBasis = fibres.IsUnknown ? FibreBasis.Unknown : input.FibreBasis;
        lot.CoreTareMg = input.CoreTareGrams is > 0 ? Mass.FromGrams(input.CoreTareGrams.Value).Milligrams : null;
        lot.YarnCount = yarnCount;
        Record(lot, evidence);
        Compute(lot, rules);
    }

    /// <summary>Computes the figures again from the evidence that the lot keeps.</summary>
    public static void Compute(Lot lot, YardageRules rules)
    {
        YardageEstimate? estimate = rules.Estimate(LotTraitsOf.Evidence(lot));
        lot.WeightClass = estimate?.WeightClass;
        lot.MetresPer100gLow = estimate?.Low.MetresPer100Grams;
        lot.MetresPer100gLikely = estimate?.Likely.MetresPer100Grams;
        lot.MetresPer100gHigh = estimate?.High.MetresPer100Grams;
        LengthMoments? moments = estimate is null ? null : LengthMoments.Of(estimate.Distribution);
        lot.MetresPer100gMean = moments?.MeanMetresPer100Grams;
        lot.LengthSharedSd = moments?.SharedSd;
        lot.LengthOwnVariance = moments?.OwnVariance;
        lot.EstimateBasis = estimate?.Basis ?? EstimateBasis.None;
        lot.ModelVersion = estimate?.ModelVersion ?? YardageEstimator.ModelVersion;
        lot.TableVersion = estimate?.TableVersion ?? rules.Table.Version;
        lot.YardageEdition = rules.Edition;
    }

    /// <summary>Writes the evidence, but for the count as it was typed.</summary>
    internal static void Record(Lot lot, YarnEvidence evidence)
    {
        lot.ScaleDivisionMg = evidence.ScaleDivision?.Milligrams;
        lot.AssertedClass = evidence.AssertedClass;
        lot.WrapsCount = evidence.Wraps?.Count;
        lot.WrapsInches = evidence.Wraps?.Inches;
        lot.WrapsRepeats = [.. evidence.Wraps?.Repeats ?? []];
        lot.BandMetres = evidence.Band?.Length.Metres;
        lot.BandMg = evidence.Band?.Mass.Milligrams;
        lot.SampleMetres = evidence.Sample?.Length.Metres;
        lot.SampleMg = evidence.Sample?.Mass.Milligrams;
        lot.SampleDivisionMg = evidence.Sample?.Division is { Milligrams: > 0 } division ? division.Milligrams : null;
        lot.GaugeStitches = evidence.Gauge?.Stitches;
        lot.GaugeCm = evidence.Gauge?.Centimetres;
        lot.Texture = evidence.Texture;
    }

    /// <summary>The fibres; what is wrong goes into the check.</summary>
    public static FibreContent? ReadFibres(LotInput input, Check check) =>
        check.Take(FibreContent.Create(input.Fibres.Select(f => new FibreShare(f.Code?.Trim().ToUpperInvariant() ?? "", f.Percent))));

    /// <summary>A count as typed, turned into a length per mass; a folded one is a little less sure than one of the whole yarn.</summary>
    /// <param name="field">Field that a refusal names.</param>
    public static Outcome<CountReading> CountOf(string text, string field)
    {
        Outcome<YarnCount> count = YarnCount.Parse(text, field: field);
        if (!count.IsOk)
        {
            return Outcome<CountReading>.Refused(count.Refusals);
        }

        Outcome<CountReading> reading = CountReading.Create(count.Value.Density, count.Value.Kind);
        return reading.IsOk ? reading : reading.Refusal with { Field = field };
    }

    private static WeighedSample? ReadSample(SampleInput input, Check check)
    {
        if (input is { Metres: { } metres, Grams: { } grams })
        {
            return check.Take(WeighedSample.Create(metres, grams, input.DivisionGrams));
        }

        check.Add(Refusal.Invalid("sample", "A weighed sample needs its length and its grams. Enter both, or leave the sample out."));
        return null;
    }

    private static Gauge? ReadGauge(GaugeInput input, Check check)
    {
        if (input.Stitches is { } stitches)
        {
            return check.Take(Gauge.Create(stitches, input.PerCm ?? 10));
        }

        check.Add(Refusal.Invalid("gauge.stitches", "A gauge needs the stitches counted. Enter them, or leave the gauge out."));
        return null;
    }

    private static Wraps? ReadWraps(WrapsInput input, Check check)
    {
        if (input.Count is not { } count)
        {
            check.Add(Refusal.Invalid("wraps", "Enter how many wraps you counted, or leave the wraps out."));
            return null;
        }

        return check.Take(Wraps.Create(count, input.Inches ?? 1, input.Repeats ?? []));
    }

    private static Band? ReadBand(BandInput input, Check check)
    {
        if (input is not { Metres: { } metres, Grams: { } grams })
        {
            check.Add(Refusal.Invalid("band", "A band needs metres and grams. Enter both, or leave the band out."));
            return null;
        }

        return check.Take(Band.Create(metres, grams));
    }

    private static string? ReadHex(string? hex, Check check)
    {
        if (string.IsNullOrWhiteSpace(hex))
        {
            return null;
        }

        Outcome<Colour> colour = Colour.Parse(hex.Trim());
        if (!colour.IsOk)
        {
            check.Add(colour.Refusal with { Field = "colourHex" });
            return null;
        }

        return colour.Value.Hex;
    }

    private static ColourFamily? FamilyOf(string? hex) => hex is null ? null : ColourNames.Describe(Colour.Parse(hex).Value).Family;
}
