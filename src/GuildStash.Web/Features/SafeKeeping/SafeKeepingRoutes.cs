using System.Net.Mime;
using System.Text;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Infrastructure.Security;
using Microsoft.Extensions.Localization;
using Microsoft.Net.Http.Headers;

namespace GuildStash.Web.Features.SafeKeeping;

/// <summary>The cookie route behind the page's link to the export.</summary>
public static class SafeKeepingRoutes
{
    public const string Export = "/safe-keeping/export.zip";

    public static void MapSafeKeeping(this IEndpointRouteBuilder app) =>
        app.MapGet(Export, ExportAsync).RequireAuthorization(Policies.Administrator).ExcludeFromDescription();

    private static async Task<IResult> ExportAsync(HttpContext http, ExportGuild export, IStringLocalizer<Texts> texts)
    {
        Outcome<ExportedGuild> exported = await export.RunAsync(SignedIn.IdOf(http.User), http.RequestAborted);
        if (!exported.IsOk)
        {
            string sentence = string.Join("\n", exported.Refusals.Select(refusal => texts.Say(refusal)));
            return TypedResults.Text(sentence, MediaTypeNames.Text.Plain, Encoding.UTF8, ApiProblems.StatusOf(exported.Refusal));
        }

        http.Response.Headers[HeaderNames.CacheControl] = "private, no-store";
        return TypedResults.Stream(exported.Value.Content, MediaTypeNames.Application.Zip, exported.Value.Name);
    }
}
