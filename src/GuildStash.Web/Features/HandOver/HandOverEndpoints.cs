using System.ComponentModel;
using System.Security.Claims;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Infrastructure;

namespace GuildStash.Web.Features.HandOver;

/// <summary>Yarn handed over: a hold's, or straight from a lot to the member who stands at the table.</summary>
internal sealed record CheckoutBody
{
    public Guid? HoldId { get; init; }

    public string? LotCode { get; init; }

    public string? MemberEmail { get; init; }

    [Description("What the scale shows.")]
    public decimal? Grams { get; init; }

    [Description("With lotCode only; a hold has its project.")]
    public Guid? ProjectId { get; init; }

    [Description("True: the lot leaves as a whole, and a rest within weighing error is booked as such. False: a part leaves. Left out: as a whole where all of it was promised or the scale shows a little more than the books have.")]
    public bool? WholeLot { get; init; }
}

internal sealed record CheckoutAnswer(Guid Id, decimal Grams, string LotCode, DateOnly DueOn, bool LotIsEmpty, decimal DifferenceGrams)
{
    [Description("The code that was asked for, where its lot went into this one since.")]
    public string? AskedForCode { get; init; }
}

internal sealed record ReturnBody
{
    public decimal? Grams { get; init; }

    [Description("An empty list: somebody looked and found nothing. Left out: nobody looked, so it waits in quarantine.")]
    public IReadOnlyList<Conditions>? Conditions { get; init; }

    [Description("Nothing is left at the member's home.")]
    public bool? IsAll { get; init; }

    [Description("Asked where the last yarn of a kit is used up: pieces finished besides those that are written down; 0 if none.")]
    public int? FinishedPieces { get; init; }

    [Description("Asked with 0 finishedPieces: what became of the yarn.")]
    public string? Why { get; init; }
}

internal sealed record ReturnAnswer(Guid Id, decimal Grams, string LotCode, bool IsFree, decimal StillAtHomeGrams);

internal static class HandOverEndpoints
{
    public static void MapHandOver(this RouteGroupBuilder api)
    {
        RouteGroupBuilder desk = api.MapGroup("/checkouts").WithTags("Reserve, take, return");
        desk.MapPost("", HandOverAsync).WithSummary("Hand yarn over against weight; volunteers.").Produces<CheckoutAnswer>(StatusCodes.Status201Created);
        desk.MapPost("/{id:guid}/returns", TakeBackAsync).WithSummary("Take leftovers back against weight; volunteers.").Produces<ReturnAnswer>(StatusCodes.Status201Created);
    }

    private static async Task<IResult> HandOverAsync(Body<CheckoutBody> body, ClaimsPrincipal me, HandOverYarn handOver, CancellationToken cancellation)
    {
        CheckoutBody sent = body.Value;
        if (Missing(sent) is { } refusal)
        {
            return ApiProblems.Refused([refusal]);
        }

        HandOverInput input = new(sent.HoldId, sent.LotCode, null, sent.MemberEmail, sent.ProjectId, sent.Grams, sent.WholeLot);
        Outcome<HandedOver> given = await handOver.RunAsync(me.Id(), input, cancellation);
        return given.Answer(done => TypedResults.Created((string?)null, new CheckoutAnswer(
            done.Id, GuildApi.Grams(done.Mg), Display(done.LotCode), done.DueOn, done.LotIsEmpty, GuildApi.Grams(done.DifferenceMg))
        {
            AskedForCode = OldCodes.Display(done.OldCode),
        }));
    }

    private static async Task<IResult> TakeBackAsync(Guid id, Body<ReturnBody> body, ClaimsPrincipal me, TakeBack takeBack, CancellationToken cancellation)
    {
        ReturnInput input = new(body.Value.Grams, ConditionKeys.Of(body.Value.Conditions), body.Value.IsAll ?? false, new PiecesSaid(body.Value.FinishedPieces, body.Value.Why));
        Outcome<TakenBack> taken = await takeBack.RunAsync(me.Id(), id, input, cancellation);
        return taken.Answer(done => TypedResults.Created((string?)null, new ReturnAnswer(
            done.Id, GuildApi.Grams(done.Mg), Display(done.LotCode), done.IsFree, GuildApi.Grams(done.StillAtHomeMg))));
    }

    private static Refusal? Missing(CheckoutBody sent) => sent switch
    {
        { Grams: null } => Refusal.Invalid("grams", "Enter the grams that the scale shows."),
        { HoldId: null, LotCode: not null, MemberEmail: null or "" } => Refusal.Invalid("memberEmail", "Name the member by their e-mail address."),
        _ => null,
    };

    private static string Display(string lotCode) => LotCode.Parse(lotCode).Value.Display;
}
