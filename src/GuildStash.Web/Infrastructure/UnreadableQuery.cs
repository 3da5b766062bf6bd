using System.Globalization;

namespace GuildStash.Web.Infrastructure;

/// <summary>
/// Pages read some words of their address as numbers, keys or yes and no. One that can't be read would stop the page; the visitor is led
/// to the same page without it instead. So does a word with the letter zero, which no text of a database has.
/// </summary>
internal static class UnreadableQuery
{
    private static readonly Dictionary<string, Func<string, bool>> Readable = new(StringComparer.OrdinalIgnoreCase)
    {
        ["page"] = text => int.TryParse(text, NumberStyles.Integer, CultureInfo.InvariantCulture, out int page) && page is >= 1 and <= 1_000_000,
        ["project"] = text => Guid.TryParse(text, out _),
        ["member"] = text => Guid.TryParse(text, out _),
        ["late"] = text => bool.TryParse(text, out _),
        ["new"] = text => bool.TryParse(text, out _),
    };

    public static void UseReadableQueries(this IApplicationBuilder app) => app.Use((context, next) =>
    {
        HttpRequest request = context.Request;
        if (!HttpMethods.IsGet(request.Method) || request.Path.StartsWithSegments("/api") || request.Query.Count == 0)
        {
            return next(context);
        }

        List<KeyValuePair<string, string?>> kept = [.. request.Query
            .Where(word => !word.Key.Contains('\0', StringComparison.Ordinal) && !word.Value.ToString().Contains('\0', StringComparison.Ordinal))
            .Where(word => !Readable.TryGetValue(word.Key, out Func<string, bool>? readable) || readable(word.Value.ToString()))
            .SelectMany(word => word.Value.Select(value => KeyValuePair.Create(word.Key, value)))];
        if (kept.Count == request.Query.Sum(word => word.Value.Count))
        {
            return next(context);
        }

        context.Response.Redirect(request.PathBase + request.Path + QueryString.Create(kept));
        return Task.CompletedTask;
    });
}
