using System.Globalization;
using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;

namespace GuildStash.Web.Features.Api;

/// <summary>Reads one kind of value and refuses all others in a sentence.</summary>
internal abstract class StrictReader<T> : JsonConverter<T>
{
    private const int LongestEcho = 40;

    public override bool HandleNull => false;

    public override void Write(Utf8JsonWriter writer, T value, JsonSerializerOptions options) =>
        throw new NotSupportedException("These options only read.");

    /// <summary>What was sent, for the sentence.</summary>
    protected static string Sent(ref Utf8JsonReader reader) => reader.TokenType switch
    {
        JsonTokenType.StartObject => "{…}",
        JsonTokenType.StartArray => "[…]",
        JsonTokenType.String => "\"" + Shortened(reader.GetString()!) + "\"",
        JsonTokenType.Null => "null",
        _ => Shortened(Encoding.UTF8.GetString(reader.HasValueSequence ? [] : reader.ValueSpan)),
    };

    protected static UnreadableValueException Wrong(string text, params object[] arguments) => new(new Phrase(text, arguments));

    protected static UnreadableValueException NotANumber(ref Utf8JsonReader reader) =>
        Wrong("\"{0}\" takes a number such as 12.5, with a point and without quotes; {1} was sent.", Sent(ref reader));

    private static string Shortened(string text) => text.Length <= LongestEcho ? text : text[..LongestEcho] + "…";
}

internal sealed class DecimalReader : StrictReader<decimal>
{
    public override decimal Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.TokenType == JsonTokenType.Number && reader.TryGetDecimal(out decimal value) ? value : throw NotANumber(ref reader);
}

internal sealed class DoubleReader : StrictReader<double>
{
    public override double Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.TokenType == JsonTokenType.Number && reader.TryGetDouble(out double value) && double.IsFinite(value) ? value : throw NotANumber(ref reader);
}

internal sealed class IntReader : StrictReader<int>
{
    public override int Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.TokenType == JsonTokenType.Number && reader.TryGetInt32(out int value)
            ? value
            : throw Wrong("\"{0}\" takes a whole number such as 3, without quotes; {1} was sent.", Sent(ref reader));
}

internal sealed class BoolReader : StrictReader<bool>
{
    public override bool Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => reader.TokenType switch
    {
        JsonTokenType.True => true,
        JsonTokenType.False => false,
        _ => throw Wrong("\"{0}\" takes true or false; {1} was sent.", Sent(ref reader)),
    };
}

/// <summary>The database can't store the character U+0000 at all, so it ends here; other odd ones are each field's matter.</summary>
internal sealed class TextReader : StrictReader<string>
{
    public override string Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
    {
        if (reader.TokenType != JsonTokenType.String)
        {
            throw Wrong("\"{0}\" takes text in quotes; {1} was sent.", Sent(ref reader));
        }

        string text = reader.GetString()!;
        return text.Contains('\0', StringComparison.Ordinal) ? throw Wrong("The text of \"{0}\" has a character that can't be stored (U+0000).") : text;
    }
}

internal sealed class GuidReader : StrictReader<Guid>
{
    public override Guid Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.TokenType == JsonTokenType.String && Guid.TryParse(reader.GetString(), out Guid value)
            ? value
            : throw Wrong("\"{0}\" takes an id such as 0199a1b2-0000-7000-8000-000000000000; {1} was sent.", Sent(ref reader));
}

internal sealed class DateReader : StrictReader<DateOnly>
{
    public override DateOnly Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.TokenType == JsonTokenType.String
            && DateOnly.TryParseExact(reader.GetString(), "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out DateOnly value)
                ? value
                : throw Wrong("\"{0}\" takes a day such as 2026-04-03; {1} was sent.", Sent(ref reader));
}

/// <summary>true, false, or in words; "unknown" and null are the same.</summary>
internal sealed class TristateReader : StrictReader<Tristate>
{
    public override Tristate Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => reader.TokenType switch
    {
        JsonTokenType.True => Tristate.Yes,
        JsonTokenType.False => Tristate.No,
        JsonTokenType.String when ApiKeys<Tristate>.TryParse(reader.GetString(), out Tristate value) => value,
        _ => throw Wrong("\"{0}\" takes true, false, or null where nobody knows; {1} was sent.", Sent(ref reader)),
    };
}

/// <summary>One condition; several stand in a list.</summary>
internal sealed class ConditionReader : StrictReader<Conditions>
{
    public override Conditions Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
    {
        if (reader.TokenType == JsonTokenType.String && ConditionRules.FromKeys([reader.GetString()]) is { IsOk: true } condition)
        {
            return condition.Value;
        }

        throw Wrong("\"{0}\" takes one of {2}; {1} was sent.", Sent(ref reader), string.Join(", ", ConditionRules.Keys(ConditionRules.All)));
    }
}

/// <summary>Any other enum, by its key.</summary>
internal sealed class KeyReaders : JsonConverterFactory
{
    public override bool CanConvert(Type typeToConvert) => typeToConvert.IsEnum;

    public override JsonConverter CreateConverter(Type typeToConvert, JsonSerializerOptions options) =>
        (JsonConverter)Activator.CreateInstance(typeof(KeyReader<>).MakeGenericType(typeToConvert))!;

    private sealed class KeyReader<T> : StrictReader<T>
        where T : struct, Enum
    {
        public override T Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
            reader.TokenType == JsonTokenType.String && ApiKeys<T>.TryParse(reader.GetString(), out T value)
                ? value
                : throw Wrong("\"{0}\" takes one of {2}; {1} was sent.", Sent(ref reader), ApiKeys<T>.Known);
    }
}
