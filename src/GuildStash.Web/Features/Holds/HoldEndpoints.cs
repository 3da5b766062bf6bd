using System.ComponentModel;
using System.Security.Claims;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Relotting;

namespace GuildStash.Web.Features.Holds;

/// <summary>Yarn of one lot, in grams or in metres.</summary>
internal sealed record HoldBody
{
    public string? LotCode { get; init; }

    public decimal? Grams { get; init; }

    [Description("Instead of grams; by the low figure, so that the yarn does not run out.")]
    public double? Metres { get; init; }

    public Guid? ProjectId { get; init; }
}

internal sealed record HoldAnswer(Guid Id, string LotCode, decimal Grams, double? MetresLow, DateTimeOffset ExpiresAt, Guid RequestId, string RequestNumber)
{
    [Description("The code that was asked for, where its lot went into this one since.")]
    public string? AskedForCode { get; init; }
}

internal static class HoldEndpoints
{
    public static void MapHolds(this RouteGroupBuilder api) =>
        api.MapPost("/holds", PlaceAsync).WithTags("Reserve, take, return").WithSummary("Reserve yarn of a lot for oneself.")
            .Produces<HoldAnswer>(StatusCodes.Status201Created);

    private static async Task<IResult> PlaceAsync(Body<HoldBody> body, ClaimsPrincipal me, RequestHolds request, CancellationToken cancellation)
    {
        HoldBody wish = body.Value;
        HoldInput input = new([new WantedYarn(wish.LotCode ?? "", wish.Grams, wish.Metres)], wish.ProjectId);
        Outcome<PlacedRequest> placed = await request.RunAsync(me.Id(), input, cancellation);
        return placed.Answer(done => TypedResults.Created((string?)null, ToAnswer(done)));
    }

    private static HoldAnswer ToAnswer(PlacedRequest request)
    {
        PlacedHold hold = request.Holds[0];
        return new HoldAnswer(
            hold.Id, LotCode.Parse(hold.LotCode).Value.Display, GuildApi.Grams(hold.Mg), ApiMetres.Low(hold.MetresLow), hold.ExpiresAt, request.Id, request.Number)
        {
            AskedForCode = OldCodes.Display(hold.OldCode),
        };
    }
}
