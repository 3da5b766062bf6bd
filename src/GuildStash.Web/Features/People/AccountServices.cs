using GuildStash.Data.People;
using GuildStash.Web.Features.Setup;
using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Identity;

namespace GuildStash.Web.Features.People;

/// <summary>Use cases that run before anybody is signed in or need the sign-in library, and the address to sign out.</summary>
internal static class AccountServices
{
    public static IServiceCollection AddAccounts(this IServiceCollection services)
    {
        services.AddSingleton<SetUpCode>();
        services.AddScoped<SetUpGuild>();
        services.AddScoped<AcceptInvitation>();
        services.AddScoped<ChangeOwnPassword>();
        services.AddScoped<ChooseNewPassword>();
        return services;
    }

    public static void MapAccounts(this IEndpointRouteBuilder app) =>
        app.MapPost("/account/sign-out", SignOutAsync).AllowAnonymous().ExcludeFromDescription();

    private static async Task<IResult> SignOutAsync(HttpContext context, IAntiforgery antiforgery, SignInManager<Person> signIn)
    {
        if (!await antiforgery.IsRequestValidAsync(context))
        {
            return Results.StatusCode(StatusCodes.Status400BadRequest);
        }

        await signIn.SignOutAsync();

        // A shared desk: what this browser kept of half-typed forms is not for the next person. Browsers heed it over HTTPS.
        context.Response.Headers["Clear-Site-Data"] = "\"cache\", \"storage\"";
        return Results.LocalRedirect("/account/sign-in?done=signed-out");
    }
}
