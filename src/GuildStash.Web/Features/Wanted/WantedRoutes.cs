using GuildStash.Domain.Rules;
using GuildStash.Printing;
using GuildStash.Web.Features.Printing;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Security;

namespace GuildStash.Web.Features.Wanted;

/// <summary>The poster, and the way of visitors to what they may see.</summary>
public static class WantedRoutes
{
    /// <summary>Where everybody may look, if the guild wants that.</summary>
    public const string Open = "/wanted/open";

    private const string Members = "/wanted";
    private const string PosterPath = "/print/wanted-poster.pdf";

    public static string Poster(PaperSize size) => $"{PosterPath}?paper={size.Key}";

    public static void MapWanted(this IEndpointRouteBuilder app) => app.MapGet(PosterPath, PosterAsync).RequireAuthorization().ExcludeFromDescription();

    /// <summary>Whoever is not signed in and may see the open page is led there rather than to the sign-in.</summary>
    public static void UseOpenWanted(this IApplicationBuilder app) => app.Use((context, next) =>
    {
        bool isVisitor = HttpMethods.IsGet(context.Request.Method) && context.User.Identity is not { IsAuthenticated: true }
            && string.Equals(context.Request.Path.Value?.TrimEnd('/'), Members, StringComparison.OrdinalIgnoreCase);
        if (!isVisitor || !context.RequestServices.GetRequiredService<OpenWanted>().IsOpen)
        {
            return next(context);
        }

        context.Response.Redirect(context.Request.PathBase + Open);
        return Task.CompletedTask;
    });

    private static async Task<IResult> PosterAsync(HttpContext http, string? paper, WantedPosterData posters, GuildDefaults guild)
    {
        Outcome<PrintedPaper> poster = await posters.PrintAsync(SignedIn.IdOf(http.User), paper, PrintLanguage.OfGuild(http, guild), http.RequestAborted);
        return poster.IsOk ? PrintedPaper.Result(poster.Value) : PrintRoutes.Sentence(http, poster.Refusals);
    }
}
