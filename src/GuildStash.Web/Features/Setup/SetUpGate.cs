using GuildStash.Web.Components.Layout;
using Microsoft.AspNetCore.Components.Endpoints;

namespace GuildStash.Web.Features.Setup;

internal static class SetUpGate
{
    public const string Address = "/setup";

    private static readonly Type[] OpenPages = [typeof(SetUpPage), typeof(ErrorPage), typeof(StatusPage), typeof(NotFoundPage)];

    /// <summary>While there is no guild every page leads to set-up.</summary>
    public static void UseSetUpGate(this IApplicationBuilder app) => app.Use(async (context, next) =>
    {
        Type? page = context.GetEndpoint()?.Metadata.GetMetadata<ComponentTypeMetadata>()?.Type;
        if (page is not null && !OpenPages.Contains(page)
            && await context.RequestServices.GetRequiredService<SetUpCode>().IsNeededAsync(context.RequestAborted))
        {
            context.Response.Redirect(Address);
            return;
        }

        await next();
    });
}
