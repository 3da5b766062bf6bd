using System.Text.Json;

namespace GuildStash.Web.Features.Api;

/// <summary>An enum's values as the API writes them: the value's name in camelCase, which is also its key in the trade's word lists.</summary>
public static class ApiKeys<T>
    where T : struct, Enum
{
    private static readonly Dictionary<T, string> Keys = Enum.GetValues<T>().ToDictionary(value => value, value => JsonNamingPolicy.CamelCase.ConvertName(value.ToString()));
    private static readonly Dictionary<string, T> Values = Keys.ToDictionary(pair => pair.Value, pair => pair.Key, StringComparer.OrdinalIgnoreCase);

    /// <summary>All keys, for sentences that list them.</summary>
    public static string Known { get; } = string.Join(", ", Keys.Values);

    public static string Of(T value) => Keys[value];

    public static string? Of(T? value) => value is { } known ? Keys[known] : null;

    public static bool TryParse(string? key, out T value) => Values.TryGetValue(key?.Trim() ?? "", out value);
}
