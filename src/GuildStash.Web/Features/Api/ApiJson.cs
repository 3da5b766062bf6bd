using System.Text.Json;
using System.Text.Json.Serialization;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure;

namespace GuildStash.Web.Features.Api;

/// <summary>How the API reads JSON: strictly, with a sentence that names the field for everything that can't be read.</summary>
internal static class ApiJson
{
    private static readonly JsonSerializerOptions Strict = new(JsonSerializerDefaults.Web)
    {
        NumberHandling = JsonNumberHandling.Strict,
        AllowDuplicateProperties = false,
        MaxDepth = 16,
        Converters =
        {
            new DecimalReader(), new DoubleReader(), new IntReader(), new BoolReader(), new TextReader(), new GuidReader(), new DateReader(),
            new TristateReader(), new ConditionReader(), new KeyReaders(),
        },
    };

    public static Outcome<T> Read<T>(ReadOnlySpan<byte> json)
        where T : class
    {
        try
        {
            T? value = JsonSerializer.Deserialize<T>(json, Strict);
            return value is not null ? value : NoObject();
        }
        catch (UnreadableValueException wrong)
        {
            string field = FieldOf(wrong.Path);
            return ApiProblems.Unreadable(field, wrong.Sentence.Text, [field, .. wrong.Sentence.Arguments]);
        }
        catch (JsonException wrong)
        {
            return Sentence(wrong, FieldOf(wrong.Path), json.Length);
        }
    }

    private static Refusal NoObject() => ApiProblems.Unreadable("", "The body must be a JSON object.");

    private static Refusal Sentence(JsonException wrong, string field, int length)
    {
        if (length == 0)
        {
            return ApiProblems.Unreadable("", "The body is empty; a JSON object is needed.");
        }

        // Only what is no JSON at all is found by the reader, whose own exception the serialiser wraps.
        if (wrong.InnerException is JsonException)
        {
            return field.Length == 0
                ? ApiProblems.Unreadable("", "The body is not JSON: see line {0}, byte {1}.", (wrong.LineNumber ?? 0) + 1, (wrong.BytePositionInLine ?? 0) + 1)
                : ApiProblems.Unreadable(field, "What stands at \"{0}\" is not JSON (line {1}, byte {2}); NaN and Infinity are no JSON numbers.",
                    field, (wrong.LineNumber ?? 0) + 1, (wrong.BytePositionInLine ?? 0) + 1);
        }

        return field.Length == 0
            ? NoObject()
            : ApiProblems.Unreadable(field, "The value of \"{0}\" can't be read: it is of the wrong kind, or there twice. See /openapi/v1.json for what is taken.", field);
    }

    /// <summary>"$.bags[0].grossGrams" is the field "bags[0].grossGrams".</summary>
    private static string FieldOf(string? path) => path switch
    {
        null or "$" => "",
        _ when path.StartsWith("$.", StringComparison.Ordinal) => path[2..],
        _ => path.TrimStart('$'),
    };
}

/// <summary>A value that is JSON, but not what the field takes.</summary>
/// <param name="sentence">Position {0} is the field; the arguments begin at {1}.</param>
internal sealed class UnreadableValueException(Phrase sentence) : JsonException(sentence.Text)
{
    public Phrase Sentence => sentence;
}
