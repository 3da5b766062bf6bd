using System.Security.Claims;
using System.Text.Json;
using System.Text.Json.Serialization;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Colours;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Measuring;
using GuildStash.Web.Features.Planning;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.Identity;

namespace GuildStash.Web.Features.Api;

/// <summary>
/// The JSON API, version 1: the same use cases as the pages', by bearer token only. Each feature maps its own endpoints; here is what
/// they share.
/// </summary>
public static class GuildApi
{
    public const string Root = "/api/v1";

    /// <summary>The description is for whoever is signed in, in a browser or with a token.</summary>
    private static readonly AuthorizationPolicy Anyone =
        new AuthorizationPolicyBuilder(IdentityConstants.ApplicationScheme).RequireAuthenticatedUser().Build();

    public static IServiceCollection AddGuildApi(this IServiceCollection services)
    {
        services.AddBearerTokens();
        services.AddHostedService<OldAnswersJob>();
        services.AddOpenApi("v1", ApiDescription.Configure);
        return services.ConfigureHttpJsonOptions(options =>
        {
            options.SerializerOptions.NumberHandling = JsonNumberHandling.Strict;
            options.SerializerOptions.Converters.Add(new JsonStringEnumConverter(JsonNamingPolicy.CamelCase, allowIntegerValues: false));
        });
    }

    public static void UseGuildApiErrors(this IApplicationBuilder app) => app.UseMiddleware<ApiErrors>();

    public static void MapApiDescription(this IEndpointRouteBuilder app) => app.MapOpenApi("/openapi/{documentName}.json").RequireAuthorization(Anyone);

    public static void MapGuildApi(this IEndpointRouteBuilder app)
    {
        RouteGroupBuilder api = app.MapGroup(Root).RequireAuthorization(BearerTokens.Policy).AddEndpointFilter(AnswerAsync);
        api.ProducesProblem(StatusCodes.Status400BadRequest)
            .ProducesProblem(StatusCodes.Status401Unauthorized)
            .ProducesProblem(StatusCodes.Status403Forbidden)
            .ProducesProblem(StatusCodes.Status404NotFound)
            .ProducesProblem(StatusCodes.Status409Conflict)
            .ProducesProblem(StatusCodes.Status422UnprocessableEntity)
            .ProducesProblem(StatusCodes.Status503ServiceUnavailable);
        api.MapIntake();
        api.MapSorting();
        api.MapInventory();
        api.MapHolds();
        api.MapHandOver();
        api.MapBins();
        api.MapColours();
        api.MapMeasuring();
        api.MapPlanning();
        api.MapRelotting();
    }

    /// <summary>The person of the token.</summary>
    internal static Guid Id(this ClaimsPrincipal person) => SignedIn.IdOf(person);

    /// <summary>The use case's value as the endpoint words it, or its refusals as a problem.</summary>
    internal static IResult Answer<T>(this Outcome<T> outcome, Func<T, IResult> answer, Func<string, string>? rename = null) =>
        outcome.IsOk ? answer(outcome.Value) : ApiProblems.Refused(outcome.Refusals, rename);

    /// <summary>Milligrams as the API's grams.</summary>
    internal static decimal Grams(long milligrams) => milligrams / 1000m;

    /// <summary>An unusable body is answered before its endpoint runs; an answer kept from an earlier request says so.</summary>
    private static async ValueTask<object?> AnswerAsync(EndpointFilterInvocationContext context, EndpointFilterDelegate next)
    {
        if (context.Arguments.OfType<IApiBody>().FirstOrDefault(body => body.Problem is not null) is { Problem: { } problem })
        {
            return problem;
        }

        object? answer = await next(context);
        if (context.HttpContext.RequestServices.GetRequiredService<IdempotencySlot>().Replayed)
        {
            context.HttpContext.Response.Headers["Idempotency-Replayed"] = "true";
        }

        return answer;
    }
}
