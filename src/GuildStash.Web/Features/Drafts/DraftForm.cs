using System.Text.Json;
using System.Text.Json.Serialization;

namespace GuildStash.Web.Features.Drafts;

/// <summary>The whole state of a form that is kept while one types.</summary>
public interface IDraftForm
{
    /// <summary>Names the saving this form will become; a copy that the browser kept belongs to the form of the same name.</summary>
    Guid RequestId { get; set; }
}

/// <summary>Names of the forms whose drafts are kept.</summary>
public static class DraftKeys
{
    public const string Gift = "gift";

    /// <summary>A new project.</summary>
    public const string Project = "project:new";

    public static string Ball(Guid bagId) => $"ball:{bagId}";

    /// <summary>What is known about a lot, put right on a page of its own.</summary>
    public static string Correction(Guid lotId) => $"lot:{lotId}";

    /// <param name="pieceId">The piece that is changed; null for a new one.</param>
    /// <param name="copyOf">The piece that a new one begins as a copy of.</param>
    public static string Piece(Guid? pieceId, Guid? copyOf) => pieceId is { } id ? $"piece:{id}" : copyOf is { } from ? $"piece:copy:{from}" : "piece:new";
}

/// <summary>How the state of a form is written into a draft and read back.</summary>
public static class DraftState
{
    private static readonly JsonSerializerOptions Strict = new()
    {
        IgnoreReadOnlyProperties = true,
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        RespectNullableAnnotations = true,
        RespectRequiredConstructorParameters = true,
    };

    public static string Write<T>(T form) => JsonSerializer.Serialize(form, Strict);

    /// <summary>The form, or null where the state is an older or another form's.</summary>
    public static T? Read<T>(string state)
        where T : class
    {
        try
        {
            return JsonSerializer.Deserialize<T>(state, Strict);
        }
        catch (JsonException)
        {
            return null;
        }
    }

    /// <summary>Whether two forms say the same, whatever saving they name.</summary>
    public static bool Same<T>(T one, T other)
        where T : class, IDraftForm => Unnamed(one) == Unnamed(other);

    private static string Unnamed<T>(T form)
        where T : class, IDraftForm => Write(form).Replace(form.RequestId.ToString(), "", StringComparison.Ordinal);
}
