using System.ComponentModel;
using System.Security.Claims;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Features.Inventory;

namespace GuildStash.Web.Features.Relotting;

/// <summary>The part of a lot that becomes a lot of its own.</summary>
internal sealed record SplitBody
{
    [Description("What the part weighs. Left out: its balls' share of the books, while all of them are there.")]
    public decimal? Grams { get; init; }

    [Description("Whole balls that go; left out for part of a ball.")]
    public int? Balls { get; init; }

    [Description("Smallest step of the scale on which the part was weighed; as the lot's when left out.")]
    public decimal? ScaleDivisionGrams { get; init; }

    [Description("Where the new lot goes; where the old one lies when left out.")]
    public string? BinCode { get; init; }

    public string? Note { get; init; }
}

/// <summary>Lots that are to become one.</summary>
internal sealed record MergeBody
{
    [Description("The lot that is left.")]
    public string? Left { get; init; }

    [Description("The lots that go into it.")]
    public IReadOnlyList<string?>? LotCodes { get; init; }

    [Description("What was read and agreed to where the lots are not quite alike; the refusal names each.")]
    public IReadOnlyList<string?>? Agreed { get; init; }

    public string? Reason { get; init; }
}

/// <summary>Nothing has moved: another person decides.</summary>
internal sealed record MergeAnswer(Guid ApprovalId);

internal static class RelotEndpoints
{
    public static void MapRelotting(this RouteGroupBuilder api)
    {
        RouteGroupBuilder lots = api.MapGroup("/lots").WithTags("Split and merge");
        lots.MapPost("/{code}/split", SplitAsync).WithSummary("Make part of a lot a lot of its own; volunteers. Answers the new lot.").Produces<LotAnswer>(StatusCodes.Status201Created);
        lots.MapPost("/merge", MergeAsync).WithSummary("Ask a second person to make several lots one; volunteers. Nothing moves before it is approved.").Produces<MergeAnswer>(StatusCodes.Status202Accepted);
    }

    private static async Task<IResult> SplitAsync(string code, Body<SplitBody> body, ClaimsPrincipal me, LabelReader labels, SplitLot split, CancellationToken cancellation)
    {
        Outcome<LabelledLot> lot = await labels.RunAsync(me.Id(), code, cancellation);
        if (!lot.IsOk)
        {
            return lot.Answer(_ => TypedResults.NoContent());
        }

        SplitBody sent = body.Value;
        SplitInput input = new(sent.Grams, sent.Balls, sent.ScaleDivisionGrams, sent.BinCode, sent.Note);
        Outcome<LotView> part = await split.RunAsync(me.Id(), lot.Value.Lot.Id, input, cancellation);
        return part.Answer(made => TypedResults.Created($"{GuildApi.Root}/lots/{made.Code}", LotAnswer.Of(made)));
    }

    private static async Task<IResult> MergeAsync(Body<MergeBody> body, ClaimsPrincipal me, AskMerge merge, CancellationToken cancellation)
    {
        MergeBody sent = body.Value;
        MergeInput input = new(sent.Left, [.. (sent.LotCodes ?? []).Select(code => code ?? "")], [.. (sent.Agreed ?? []).OfType<string>()], sent.Reason);
        Outcome<Guid> asked = await merge.RunAsync(me.Id(), input, cancellation);
        return asked.Answer(id => TypedResults.Accepted((string?)null, new MergeAnswer(id)));
    }
}
