namespace GuildStash.Web.Features.Api;

/// <summary>The JSON API, version 1.</summary>
public static class GuildApi
{
    public static IServiceCollection AddGuildApi(this IServiceCollection services) => services;

    public static void UseGuildApiErrors(this IApplicationBuilder app)
    {
    }

    public static void MapGuildApi(this IEndpointRouteBuilder app)
    {
    }
}
