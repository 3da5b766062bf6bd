using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Web.Features.Planning;

/// <summary>How asks, lots, answers and progress of plans are kept as JSON.</summary>
internal static class PlanJson
{
    private static readonly JsonSerializerOptions Kept = new(JsonSerializerDefaults.Web)
    {
        NumberHandling = JsonNumberHandling.Strict,
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.CamelCase), new PhraseConverter() },
    };

    public static string Write<T>(T value) => JsonSerializer.Serialize(value, Kept);

    /// <exception cref="JsonException">What is kept is not of this kind.</exception>
    public static T Read<T>(string json)
        where T : class => JsonSerializer.Deserialize<T>(json, Kept) ?? throw new JsonException("Nothing is kept where a plan has something.");

    /// <summary>
    /// A phrase with its arguments and their kinds, so that a sentence that was found yesterday is still said in the reader's language
    /// and units. Whole numbers, fractions, lengths, masses, phrases and text are told apart; anything else becomes text.
    /// </summary>
    private sealed class PhraseConverter : JsonConverter<Phrase>
    {
        public override Phrase Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
        {
            KeptPhrase kept = JsonSerializer.Deserialize<KeptPhrase>(ref reader, options) ?? throw new JsonException("A phrase is missing.");
            return new(kept.Text, [.. kept.Arguments.Select(Read)]);
        }

        public override void Write(Utf8JsonWriter writer, Phrase value, JsonSerializerOptions options) =>
            JsonSerializer.Serialize(writer, new KeptPhrase(value.Text, [.. value.Arguments.Select(Keep)]), options);

        private static object Read(KeptArgument kept) => kept switch
        {
            { Phrase: { } phrase } => phrase,
            { Whole: { } whole } => whole,
            { Number: { } number } => number,
            { Metres: { } metres } => Length.FromMetres(metres),
            { Mg: { } mg } => Mass.FromMilligrams(mg),
            _ => kept.Text ?? "",
        };

        private static KeptArgument Keep(object argument) => argument switch
        {
            Phrase phrase => new() { Phrase = phrase },
            Length length => new() { Metres = length.Metres },
            Mass mass => new() { Mg = mass.Milligrams },
            int or long or short or byte => new() { Whole = Convert.ToInt64(argument, CultureInfo.InvariantCulture) },
            double or float or decimal => new() { Number = Convert.ToDouble(argument, CultureInfo.InvariantCulture) },
            _ => new() { Text = Convert.ToString(argument, CultureInfo.InvariantCulture) },
        };
    }

    private sealed record KeptPhrase(string Text, IReadOnlyList<KeptArgument> Arguments);

    private sealed record KeptArgument
    {
        public Phrase? Phrase { get; init; }

        public long? Whole { get; init; }

        public double? Number { get; init; }

        public double? Metres { get; init; }

        public long? Mg { get; init; }

        public string? Text { get; init; }
    }
}
