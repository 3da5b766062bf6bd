namespace GuildStash.Web.Infrastructure.Security;

internal static class SecurityHeaders
{
    /// <summary>Scripts come from this origin only; inline styles are allowed since the component library sets them.</summary>
    private const string ContentPolicy =
        "default-src 'self'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; font-src 'self'; connect-src 'self'; object-src 'none'; base-uri 'self'; form-action 'self'; frame-ancestors 'none'";

    /// <summary>Without subdomains: the program can't know what else is served below the guild's name.</summary>
    private const string HttpsForAYear = "max-age=31536000";

    public static void UseSecurityHeaders(this IApplicationBuilder app) => app.Use((context, next) =>
    {
        IHeaderDictionary headers = context.Response.Headers;
        headers.ContentSecurityPolicy = ContentPolicy;
        headers.XContentTypeOptions = "nosniff";
        headers["Referrer-Policy"] = "same-origin";
        headers["Permissions-Policy"] = "camera=(self), geolocation=(), microphone=()";
        headers["Cross-Origin-Opener-Policy"] = "same-origin";
        headers["Cross-Origin-Resource-Policy"] = "same-origin";
        if (context.Request.IsHttps)
        {
            headers.StrictTransportSecurity = HttpsForAYear;
        }

        context.Response.OnStarting(() =>
        {
            // What somebody may see after signing in stays in no cache, unless its address says how long it holds.
            if (headers.CacheControl.Count == 0 && context.User.Identity is { IsAuthenticated: true })
            {
                headers.CacheControl = "private, no-store";
            }

            return Task.CompletedTask;
        });
        return next();
    });
}
