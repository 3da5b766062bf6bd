namespace GuildStash.Web.Infrastructure;

/// <summary>What answers of pages have in common that anybody may open.</summary>
internal static class OpenPage
{
    /// <summary>As long as the program itself keeps the figures.</summary>
    private const string ForAMinute = "public, max-age=60";

    /// <summary>
    /// A visitor's page may be kept for a minute by whoever passes it on; one of a signed-in person has that person's look and is kept by
    /// nobody. Search engines leave both alone: a drive ends, and a guild that shows its address to who has the link has not published it.
    /// </summary>
    public static void Prepare(HttpContext http, bool isThere)
    {
        IHeaderDictionary headers = http.Response.Headers;
        headers["X-Robots-Tag"] = "noindex";
        headers.Vary = "Cookie";
        if (!isThere)
        {
            http.Response.StatusCode = StatusCodes.Status404NotFound;
        }
        else if (http.User.Identity is not { IsAuthenticated: true })
        {
            headers.CacheControl = ForAMinute;
        }
    }
}
