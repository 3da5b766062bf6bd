using Microsoft.AspNetCore.Components.Endpoints;
using Microsoft.AspNetCore.Diagnostics;

namespace GuildStash.Web.Infrastructure;

internal static class StatusPages
{
    /// <summary>Answers what was refused or not found with a page in words.</summary>
    public static void UseStatusPages(this IApplicationBuilder app)
    {
        app.UseStatusCodePagesWithReExecute("/status/{0}", createScopeForStatusCodePages: true);
        app.Use(async (context, next) =>
        {
            // A page that answers a refused post must be shown, not posted to: it would ask for the form's token again.
            if (context.Features.Get<IStatusCodeReExecuteFeature>() is not null)
            {
                context.Request.Method = HttpMethods.Get;
            }

            await next();

            // A form without its token is refused with an empty body that claims to be a page.
            if (context.Response is { HasStarted: false, StatusCode: StatusCodes.Status400BadRequest }
                && context.GetEndpoint()?.Metadata.GetMetadata<ComponentTypeMetadata>() is not null)
            {
                context.Response.ContentType = null;
            }
        });
    }
}
