using GuildStash.Web.Components.Layout;
using GuildStash.Web.Infrastructure.Display;
using Microsoft.AspNetCore.Components.Endpoints;

namespace GuildStash.Web.Features.Setup;

internal static class SetUpGate
{
    public const string Address = "/setup";

    private static readonly Type[] OpenPages = [typeof(SetUpPage), typeof(ErrorPage), typeof(StatusPage), typeof(NotFoundPage)];

    /// <summary>While there is no guild every page leads to set-up; afterwards the guild's zone is kept up to date.</summary>
    public static void UseSetUpGate(this IApplicationBuilder app) => app.Use(async (context, next) =>
    {
        Type? page = context.GetEndpoint()?.Metadata.GetMetadata<ComponentTypeMetadata>()?.Type;
        if (page is not null && !OpenPages.Contains(page)
            && await context.RequestServices.GetRequiredService<SetUpCode>().IsNeededAsync(context.RequestAborted))
        {
            context.Response.Redirect(Address);
            return;
        }

        await context.RequestServices.GetRequiredService<GuildZoneKeeper>().KeepAsync(context.RequestAborted);
        await next();
    });
}
