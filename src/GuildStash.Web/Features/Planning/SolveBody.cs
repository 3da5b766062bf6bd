using System.ComponentModel;
using System.Text.Json;
using System.Text.Json.Serialization;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Api;

namespace GuildStash.Web.Features.Planning;

internal sealed record SolveBody
{
    [Description("At most 5,000.")]
    public IReadOnlyList<SolveLot?>? Lots { get; init; }

    [Description("1 to 200 kinds, at most 8,000 pieces wanted together. Alike pieces are one kind with its number.")]
    public IReadOnlyList<SolvePiece?>? Pieces { get; init; }

    [Description("Two strands of one class that stand in for a thicker one; none when left out.")]
    public IReadOnlyList<SolveStrands?>? TwoStrands { get; init; }

    [Description("0.5 reckons with the likely figures, 0.95 (when left out) with the low ones; up to 0.99.")]
    public double? Safety { get; init; }

    [Description("Time to search in, more than 0; 10 when left out, at most 60 are taken. The best plan by then is answered.")]
    public double? Seconds { get; init; }

    [Description("With a number the same question has the same answer; left out, the search is as fast as can be.")]
    public int? Seed { get; init; }

    [Description("Working time of all pieces together; no limit when left out.")]
    public int? MinutesLimit { get; init; }
}

internal sealed record SolveRange(double? Low = null, double? Likely = null, double? High = null);

internal sealed record SolveLot
{
    public string? Code { get; init; }

    public WeightClass? WeightClass { get; init; }

    public ColourFamily? ColourFamily { get; init; }

    [Description("For a colour wish with a target; never needed.")]
    public string? ColourHex { get; init; }

    public decimal? Grams { get; init; }

    [Description("Left out, the trade's table stands for the class. Without likely it is the geometric middle.")]
    public SolveRange? MetresPer100g { get; init; }

    [Description("What the lengths rest on: classAsserted (when left out) and wraps share a part of their error with other lots of the class.")]
    public EstimateBasis? Basis { get; init; }

    [Description("Codes such as PAN, or objects with code and percent.")]
    public IReadOnlyList<SolveFibre?>? Fibres { get; init; }

    public Tristate? MachineWashable { get; init; }

    public IReadOnlyList<Conditions>? Conditions { get; init; }

    public string? DyeLot { get; init; }

    [Description("How much one wishes that it is used, 0 to 100; weighed after everything else.")]
    public int? Wish { get; init; }
}

/// <summary>A fibre, as its code alone or with its share.</summary>
[JsonConverter(typeof(SolveFibreReader))]
internal sealed record SolveFibre(string? Code, decimal? Percent);

internal sealed class SolveFibreReader : StrictReader<SolveFibre>
{
    public override SolveFibre Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
    {
        if (reader.TokenType == JsonTokenType.String)
        {
            return new(reader.GetString(), null);
        }

        if (reader.TokenType != JsonTokenType.StartObject)
        {
            throw Wrong("\"{0}\" takes a fibre's code such as \"PAN\", or an object with code and percent; {1} was sent.", Sent(ref reader));
        }

        Sorting.FibreInput? fibre = JsonSerializer.Deserialize<Sorting.FibreInput>(ref reader, options);
        return new(fibre?.Code, fibre?.Percent);
    }
}

internal sealed record SolvePiece
{
    public string? Name { get; init; }

    public int? Wanted { get; init; }

    [Description("What one piece counts, 1 to 1,000; 1 when left out.")]
    public int? Priority { get; init; }

    public IReadOnlyList<SolvePart?>? Parts { get; init; }

    [Description("Keys of the recipient's rules, for instance washable-only, no-wool, no-animal-fibre, no-unknown-fibre, smoke-free, pet-free, scent-free, no-mothball, no-metallic, soft-only.")]
    public IReadOnlyList<string?>? Rules { get; init; }

    [Description("Working time of one piece; counts only with minutesLimit.")]
    public int? Minutes { get; init; }
}

internal sealed record SolvePart
{
    [Description("Unique in the piece; \"part 1\" and so on when left out.")]
    public string? Name { get; init; }

    [Description("Length of one strand, on the safe side.")]
    public double? Metres { get; init; }

    [Description("Instead of metres: the plan reckons with high.")]
    public SolveRange? MetresRange { get; init; }

    public IReadOnlyList<WeightClass>? WeightClasses { get; init; }

    [Description("Lengths to 100 g that are taken, instead of classes or beside them; likely is not looked at.")]
    public SolveRange? MetresPer100g { get; init; }

    [Description("Strands held together, each of the whole length; 1 when left out.")]
    public int? Strands { get; init; }

    [Description("any (when left out), oneLot, oneFamily, family:blue, palette:5, contrast:Body, match:Body.")]
    public string? Colour { get; init; }

    [Description("A colour to come near to, as hex.")]
    public string? ColourHex { get; init; }

    [Description("Codes of the fibres it may consist of; all when left out.")]
    public IReadOnlyList<string?>? OnlyFibres { get; init; }

    [Description("Lots that one piece may take for this part; any number when left out, 1 with oneLot.")]
    public int? MaxLots { get; init; }

    [Description("Whether joined lots may be of different dye lots; true when left out.")]
    public bool? DyeLotsMayMix { get; init; }
}

internal sealed record SolveStrands(WeightClass? From = null, WeightClass? To = null);
