namespace GuildStash.Web.Infrastructure;

/// <summary>A page that anybody may open, that holds no form and that tells a visitor nothing of its own.</summary>
[AttributeUsage(AttributeTargets.Class)]
public sealed class OpenPageAttribute : Attribute;

/// <summary>What answers of pages have in common that anybody may open.</summary>
internal static class OpenPage
{
    /// <summary>As long as the program itself keeps the figures.</summary>
    private const string ForAMinute = "public, max-age=60";

    /// <summary>To be called before whatever else may write headers: what is set for an answer first is asked last.</summary>
    public static void UseOpenPages(this IApplicationBuilder app) => app.Use((context, next) =>
    {
        if (context.GetEndpoint()?.Metadata.GetMetadata<OpenPageAttribute>() is not null)
        {
            context.Response.OnStarting(() =>
            {
                Finish(context);
                return Task.CompletedTask;
            });
        }

        return next(context);
    });

    /// <summary>
    /// The page says in its own words that there is nothing. The status is set when the answer begins: set before, the framework would
    /// leave the page out and answer in the words for a mistyped address.
    /// </summary>
    public static void NotFound(HttpContext http) => http.Items[typeof(OpenPage)] = StatusCodes.Status404NotFound;

    /// <summary>
    /// A visitor's page may be kept for a minute by whoever passes it on, and leaves no cookie, since there is no form for whose token the
    /// framework would set one. A signed-in person's has that person's look and is kept by nobody. Search engines leave both alone: a drive
    /// ends, and a guild that shows its address to who has the link has not published it.
    /// </summary>
    private static void Finish(HttpContext http)
    {
        if (http.Items.TryGetValue(typeof(OpenPage), out object? status) && status is int known)
        {
            http.Response.StatusCode = known;
        }

        IHeaderDictionary headers = http.Response.Headers;
        headers["X-Robots-Tag"] = "noindex";
        headers.Vary = "Cookie";
        if (http.User.Identity is { IsAuthenticated: true })
        {
            return;
        }

        headers.Remove("Set-Cookie");
        headers.Remove("Pragma");
        headers.CacheControl = http.Response.StatusCode == StatusCodes.Status200OK ? ForAMinute : "no-store";
    }
}
