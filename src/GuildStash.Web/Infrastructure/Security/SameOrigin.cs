namespace GuildStash.Web.Infrastructure.Security;

/// <summary>Refuses circuits that a page of another site opens: a WebSocket asks for no permission of its own, so its Origin is compared here.</summary>
internal static class SameOrigin
{
    private const string Circuits = "/_blazor";

    public static void UseSameOriginCircuits(this IApplicationBuilder app) => app.Use(async (context, next) =>
    {
        if (context.Request.Path.StartsWithSegments(Circuits) && !IsOwn(context))
        {
            context.Response.StatusCode = StatusCodes.Status403Forbidden;
            return;
        }

        await next();
    });

    /// <summary>Programs that are no browser send no Origin; they have nobody's cookie either.</summary>
    private static bool IsOwn(HttpContext context)
    {
        string origin = context.Request.Headers.Origin.ToString();
        return origin.Length == 0
            || (Uri.TryCreate(origin, UriKind.Absolute, out Uri? from)
                && (string.Equals(from.Authority, context.Request.Host.Value, StringComparison.OrdinalIgnoreCase) || IsPublic(context, from)));
    }

    /// <summary>A proxy may hand on another host than the one in people's browsers.</summary>
    private static bool IsPublic(HttpContext context, Uri from) =>
        Uri.TryCreate(context.RequestServices.GetRequiredService<AppSettings>().PublicUrl, UriKind.Absolute, out Uri? known)
        && string.Equals(known.Authority, from.Authority, StringComparison.OrdinalIgnoreCase);
}
