using System.ComponentModel;
using System.Globalization;
using GuildStash.Domain.Bands;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Measuring;

internal sealed record EstimateBody
{
    public decimal? Grams { get; init; }

    [Description("Balls with their band on: each counts as the band's grams and metres, whatever it weighs; grams are then of what is loose, and may be left out.")]
    public int? WholeBalls { get; init; }

    public decimal? ScaleDivisionGrams { get; init; }

    public WeightClass? WeightClass { get; init; }

    public WrapsInput? Wraps { get; init; }

    public BandInput? Band { get; init; }

    [Description("What the band says, as typed, at most 500 characters; fills what the other fields leave open.")]
    public string? BandText { get; init; }

    [Description("Whose ply names the band's text uses; without it an ambiguous one is not guessed.")]
    public PlyCountry? PlyCountry { get; init; }

    [Description("System of a count in the band's text that names none: Ne, worsted, lea, run, cut or Nm. Without it such a count is not guessed.")]
    public string? CountSystem { get; init; }

    [Description("What the number beside the plies of a count stands for: singles, or resultant as for spun silk; singles when left out.")]
    public CountNotation? CountNotation { get; init; }

    public SampleInput? Sample { get; init; }

    [Description("A count with its system, for instance Nm 2/28.")]
    public string? Count { get; init; }

    public GaugeInput? Gauge { get; init; }

    public IReadOnlyList<FibreInput?>? Fibres { get; init; }

    public Texture? Texture { get; init; }

    [Description("Strands of the same lot held together; 1 when left out.")]
    public int? Strands { get; init; }

    public EstimateInput ToInput() => new()
    {
        Grams = Grams,
        WholeBalls = WholeBalls,
        ScaleDivisionGrams = ScaleDivisionGrams,
        WeightClass = WeightClass,
        Wraps = Wraps,
        Band = Band,
        BandText = BandText,
        PlyCountry = PlyCountry,
        CountSystem = CountSystem,
        CountNotation = CountNotation ?? default,
        Sample = Sample,
        Count = Count,
        Gauge = Gauge,
        Fibres = [.. (Fibres ?? []).Select(fibre => fibre ?? new FibreInput())],
        Texture = Texture ?? default,
        Strands = Strands,
    };
}

/// <param name="SharedPart">Part of a class's variance that all lots resting on it share.</param>
/// <param name="ScaleErrorPercent">Standard deviation by which the one scale may be off.</param>
internal sealed record EstimatesBody(
    IReadOnlyList<EstimateBody?>? Lots,
    [property: Description("Part of a class's variance that all lots resting on it share, 0 to 1; 0.5 when left out.")] double? SharedPart = null,
    [property: Description("Standard deviation by which the one scale of all lots may be off, 0 to 10 %; 0 when left out.")] double? ScaleErrorPercent = null);

internal sealed record RangeAnswer(double Low, double Likely, double High);

internal sealed record ClassChanceAnswer(WeightClass Key, double Probability);

internal sealed record ClassAnswer(WeightClass Key, double Probability, IReadOnlyList<ClassChanceAnswer> Alternatives);

/// <param name="SampleMetres">Length to weigh, for a sample.</param>
/// <param name="PlusMinusMetres">Half the distance from low to high as it is.</param>
/// <param name="BecomesMetres">The same as it may be expected afterwards.</param>
internal sealed record NextAnswer(NextStep Step, string Sentence, double? SampleMetres, double PlusMinusMetres, double BecomesMetres);

internal sealed record BandTextAnswer(IReadOnlyList<string> Understood, IReadOnlyList<string> NotUnderstood, IReadOnlyList<string> Questions);

internal sealed record EstimateAnswer
{
    public ClassAnswer? WeightClass { get; init; }

    public required RangeAnswer MetresPer100g { get; init; }

    public required RangeAnswer Metres { get; init; }

    public required RangeAnswer Yards { get; init; }

    [Description("In words what the figures rest on.")]
    public required string Basis { get; init; }

    public EstimateBasis BasisKey { get; init; }

    public required IReadOnlyList<string> Conflicts { get; init; }

    [Description("What to measure to narrow it, the most useful first; empty where nothing would help.")]
    public required IReadOnlyList<NextAnswer> Next { get; init; }

    [Description("What was made of the band's text.")]
    public BandTextAnswer? BandText { get; init; }

    public required string ModelVersion { get; init; }

    public required string TableVersion { get; init; }

    public static EstimateAnswer Of(Measured measured)
    {
        YardageEstimate estimate = measured.Estimate;
        LengthRange length = measured.Length;
        return new()
        {
            WeightClass = estimate.WeightClass is { } key
                ? new(key, Math.Round(estimate.Probability, 4), [.. estimate.RunnersUp.Select(each => new ClassChanceAnswer(each.WeightClass, Math.Round(each.Probability, 4)))])
                : null,
            MetresPer100g = MeasureEndpoints.Metres(
                estimate.Low.MetresPer100Grams / measured.Strands, estimate.Likely.MetresPer100Grams / measured.Strands, estimate.High.MetresPer100Grams / measured.Strands),
            Metres = MeasureEndpoints.Metres(length),
            Yards = MeasureEndpoints.Yards(length),
            Basis = estimate.Sentence.ToString(),
            BasisKey = estimate.Basis,
            Conflicts = [.. estimate.Conflicts.Select(phrase => phrase.ToString()), .. measured.Read?.Conflicts.Select(conflict => conflict.Sentence.ToString()) ?? []],
            Next = [.. GuildYardage.Stateless.Next(measured.Evidence, measured.Mass).Select(next =>
                new NextAnswer(next.Step, next.Sentence.ToString(), next.Sample?.Metres, Math.Round(next.Now.Metres, 1), Math.Round(next.Then.Metres, 1)))],
            BandText = measured.Read is { } read
                ? new([.. read.Fields.Select(field => string.Join(" ", field.Pieces.Select(piece => piece.Text)))], [.. read.NotUnderstood.Select(piece => piece.Text)], [.. read.Questions.Select(question => question.Name().ToString())])
                : null,
            ModelVersion = estimate.ModelVersion,
            TableVersion = estimate.TableVersion,
        };
    }
}

internal sealed record TotalAnswer(int Lots, decimal Grams, RangeAnswer Metres, RangeAnswer Yards);

/// <param name="From">Key of the system that was asked with.</param>
/// <param name="Resultant">The count of the whole yarn in that system.</param>
/// <param name="Value">The same in the system asked for.</param>
internal sealed record ConvertAnswer(string From, double Resultant, string To, double Value);

/// <summary>The measuring arithmetic of the domain, for tools that keep their yarn elsewhere; nothing of the guild's is read.</summary>
internal static class MeasureEndpoints
{
    public const int MostLots = 5_000;

    public static void MapMeasuring(this RouteGroupBuilder api)
    {
        api.MapPost("/estimates", Estimate).WithTags("Measuring").WithSummary("How long a yarn is, how sure, and what to measure next.").Produces<EstimateAnswer>();
        api.MapPost("/estimates/total", Total).WithTags("Measuring").WithSummary("How long several lots are together; low and high are not the sums of the lots' own.").Produces<TotalAnswer>();
        api.MapGet("/convert", Convert).WithTags("Measuring").WithSummary("A count in another system.").Produces<ConvertAnswer>();
    }

    internal static RangeAnswer Metres(double low, double likely, double high) =>
        new(ApiMetres.Low(low)!.Value, ApiMetres.Likely(likely)!.Value, ApiMetres.High(high)!.Value);

    internal static RangeAnswer Metres(LengthRange length) => Metres(length.Low.Metres, length.Likely.Metres, length.High.Metres);

    internal static RangeAnswer Yards(LengthRange length) =>
        Metres(length.Low.Yards, length.Likely.Yards, length.High.Yards);

    private static IResult Estimate(Body<EstimateBody> body) =>
        EstimateFields.Read(body.Value.ToInput(), GuildYardage.Stateless).Answer(measured => TypedResults.Ok(EstimateAnswer.Of(measured)));

    private static IResult Total(Body<EstimatesBody> body)
    {
        IReadOnlyList<EstimateBody?> lots = body.Value.Lots ?? [];
        if (lots.Count is 0 or > MostLots)
        {
            return ApiProblems.Refused([Refusal.Invalid("lots", "{0} lots were sent; 1 to {1:N0} can be added up.", lots.Count, MostLots)]);
        }

        Outcome<TotalSettings> totals = TotalFields.Read((decimal?)body.Value.SharedPart ?? TotalFields.UsualSharedPart, (decimal?)body.Value.ScaleErrorPercent ?? 0);
        List<Measured> measured = new(lots.Count);
        List<Refusal> refusals = [.. totals.Refusals];
        for (int i = 0; i < lots.Count; i++)
        {
            Outcome<Measured> lot = EstimateFields.Read((lots[i] ?? new EstimateBody()).ToInput(), GuildYardage.Stateless);
            if (lot.IsOk)
            {
                measured.Add(lot.Value);
            }
            else
            {
                int place = i;
                refusals.AddRange(lot.Refusals.Select(refusal => refusal with { Field = $"lots[{place}].{refusal.Field}" }));
            }
        }

        if (refusals.Count > 0)
        {
            return ApiProblems.Refused([.. refusals.Take(20)]);
        }

        // Strands held together share a lot's length, so such a lot counts with its part of the mass.
        LengthRange total = LengthTotal.Of([.. measured.Select(lot => new LotInTotal(lot.Estimate, Mass.FromMilligrams(lot.Mass.Milligrams / lot.Strands), lot.Evidence.ScaleDivision))], totals.Value);
        return TypedResults.Ok(new TotalAnswer(measured.Count, measured.Sum(lot => lot.Mass.Grams), Metres(total), Yards(total)));
    }

    private static IResult Convert(
        [Description("Ne, worsted, lea, run, cut, Nm, tex, dtex, denier, m/100g, yd/100g or yd/lb.")] string? from,
        [Description("A number, or folded as in 8/2.")] string? value,
        [Description("The same as from.")] string? to,
        [Description("What the number beside the plies stands for: singles, or resultant as for spun silk; singles when left out.")] string? notation)
    {
        Outcome<CountSystem> source = CountSystemTerms.Parse(from, "from");
        Outcome<CountSystem> target = CountSystemTerms.Parse(to, "to");
        Outcome<CountNotation> read = Notation(notation);
        if (!source.IsOk || !target.IsOk || !read.IsOk)
        {
            return ApiProblems.Refused([.. source.Refusals, .. target.Refusals, .. read.Refusals]);
        }

        return YarnCount.Parse(value, source.Value, read.Value, "value").Answer(count =>
            TypedResults.Ok(new ConvertAnswer(source.Value.Key(), Digits(count.Resultant), target.Value.Key(), Digits(count.In(target.Value)))));
    }

    private static Outcome<CountNotation> Notation(string? text) => text switch
    {
        null or "" or "singles" => CountNotation.Singles,
        "resultant" => CountNotation.Resultant,
        _ => Refusal.Invalid("notation", "\"{0}\" is no way to write a count; singles or resultant is allowed.", text.Length > 24 ? text[..24] : text),
    };

    /// <summary>Twelve digits: more would only show the noise of binary arithmetic.</summary>
    private static double Digits(double value) => double.Parse(value.ToString("G12", CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
}
