using System.ComponentModel;
using System.Security.Claims;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Features.Printing;
using GuildStash.Web.Infrastructure;

namespace GuildStash.Web.Features.Intake;

internal sealed record DonorBody(string? Name = null, string? Contact = null);

internal sealed record BagBody(decimal? GrossGrams = null, decimal? TareGrams = null, IReadOnlyList<Conditions>? Conditions = null);

/// <summary>A gift: either one bag's grossGrams, tareGrams and conditions, or bags.</summary>
internal sealed record DonationBody
{
    public IntakeKind? Kind { get; init; }

    public decimal? GrossGrams { get; init; }

    public decimal? TareGrams { get; init; }

    public IReadOnlyList<Conditions>? Conditions { get; init; }

    [Description("Leave out for a donor who wished no name.")]
    public DonorBody? Donor { get; init; }

    [Description("Day in the guild's zone; today when left out.")]
    public DateOnly? ReceivedOn { get; init; }

    public string? Wishes { get; init; }

    public string? Notes { get; init; }

    [Description("Instead of the single bag.")]
    public IReadOnlyList<BagBody?>? Bags { get; init; }

    [Description("accepted when left out.")]
    public IntakeDecision? Decision { get; init; }

    [Description("Needed for everything but an accepted gift.")]
    public string? DecisionReason { get; init; }
}

/// <summary>Ends the sorting of a bag.</summary>
internal sealed record CloseBody
{
    [Description("Which bag of the gift, from 1; the first when left out.")]
    public int? Bag { get; init; }

    [Description("Where what no lot was made of went; waste when left out.")]
    public RestTo? RestTo { get; init; }

    [Description("To whom it went, or how it was looked for; needed where it is lost. Where the lots weigh more than the bag by more than the scales explain, what weighing them again showed; needed then, and more than 50 g wait for a second person.")]
    public string? Note { get; init; }
}

/// <summary>The bag beside its lots. Closed it is only where approvalId is null; else another person decides.</summary>
internal sealed record CloseAnswer(
    string Number, [property: Description("The bag less its lots; below zero where they weigh more.")] decimal DifferenceGrams, RestTo RestTo, Guid? ApprovalId);

internal sealed record BagAnswer(Guid Id, string Number, int Ordinal, decimal NetGrams, string? Quarantine, bool StaysShut);

internal sealed record DonationAnswer(Guid Id, string Number, IReadOnlyList<BagAnswer> Bags);

internal static class IntakeEndpoints
{
    public static void MapIntake(this RouteGroupBuilder api)
    {
        api.MapPost("/donations", LogAsync).WithTags("Intake").WithSummary("Log a gift with its bags; volunteers.")
            .Produces<DonationAnswer>(StatusCodes.Status201Created);
        api.MapPost("/donations/{id:guid}/close", CloseAsync).WithTags("Intake")
            .WithSummary("Close a sorted bag and say where its rest went; volunteers. More than 50 g that are lost wait for a second person (202), the bag open meanwhile.")
            .Produces<CloseAnswer>().Produces<CloseAnswer>(StatusCodes.Status202Accepted);
        api.MapGet("/donations/{id:guid}/intake-sheet.pdf", SheetAsync).WithTags("Intake").WithSummary("The intake sheet of one bag; volunteers.")
            .Produces<byte[]>(StatusCodes.Status200OK, "application/pdf");
    }

    private static async Task<IResult> LogAsync(Body<DonationBody> body, ClaimsPrincipal me, LogGift log, CancellationToken cancellation)
    {
        DonationBody gift = body.Value;
        bool isSingle = gift.GrossGrams is not null || gift.TareGrams is not null || gift.Conditions is not null;
        if (gift.Kind is not { } kind)
        {
            return Wrong("kind", "Say whether this is a donation or a swap.");
        }

        if (isSingle && gift.Bags is not null)
        {
            return Wrong("bags", "Give either one bag's grossGrams, tareGrams and conditions, or bags, not both.");
        }

        if (!isSingle && gift.Bags is null)
        {
            return Wrong("grossGrams", "Weigh the bag and enter its grams, or give several bags.");
        }

        IReadOnlyList<BagBody?> bags = gift.Bags ?? [new BagBody(gift.GrossGrams, gift.TareGrams, gift.Conditions)];
        GiftInput input = new()
        {
            Kind = kind,
            Decision = gift.Decision ?? IntakeDecision.Accepted,
            DecisionReason = gift.DecisionReason,
            DonorName = gift.Donor?.Name,
            DonorContact = gift.Donor?.Contact,
            ReceivedOn = gift.ReceivedOn,
            Wishes = gift.Wishes,
            Notes = gift.Notes,
            Bags = [.. bags.Select(bag => new BagInput(bag?.GrossGrams, bag?.TareGrams, ConditionKeys.Of(bag?.Conditions)))],
        };
        Outcome<LoggedGift> logged = await log.RunAsync(me.Id(), input, cancellation);
        return logged.Answer(done => TypedResults.Created((string?)null, ToAnswer(done)), field => FieldOf(field, isSingle));
    }

    private static async Task<IResult> CloseAsync(Guid id, Body<CloseBody> body, ClaimsPrincipal me, CloseBag close, CancellationToken cancellation)
    {
        CloseBody sent = body.Value;
        Outcome<ClosedBag> closed = await close.RunAsync(me.Id(), id, sent.Bag ?? 1, new RestInput(sent.RestTo ?? RestTo.Waste, sent.Note), cancellation);
        return closed.Answer(done =>
        {
            CloseAnswer answer = new(done.Number, GuildApi.Grams(done.DifferenceMg), done.To, done.ApprovalId);
            return done.ApprovalId is null ? TypedResults.Ok(answer) : (IResult)TypedResults.Accepted((string?)null, answer);
        });
    }

    private static async Task<IResult> SheetAsync(
        Guid id, [Description("Which bag, from 1; the first when left out.")] string? bag, ClaimsPrincipal me, IntakeSheetData sheets, HttpContext context, CancellationToken cancellation)
    {
        ApiQuery query = new();
        int ordinal = query.Whole(bag, "bag") ?? 1;
        return query.Refusals.Count > 0
            ? ApiProblems.Refused(query.Refusals)
            : (await sheets.PrintAsync(me.Id(), id, ordinal, PrintLanguage.Of(context), cancellation)).Answer(PrintedPaper.Result);
    }

    private static IResult Wrong(string field, string sentence) => ApiProblems.Refused([Refusal.Invalid(field, sentence)]);

    private static DonationAnswer ToAnswer(LoggedGift gift) =>
        new(gift.Id, gift.Number, [.. gift.Bags.Select(b => new BagAnswer(b.Id, b.Number, b.Ordinal, GuildApi.Grams(b.NetMg), ApiKeys<QuarantineReason>.Of(b.QuarantineReason), b.StaysShut))]);

    private static string FieldOf(string field, bool isSingle) => field switch
    {
        "donorName" => "donor.name",
        "donorContact" => "donor.contact",
        _ when isSingle => field.Replace("bags[0].", "", StringComparison.Ordinal),
        _ => field,
    };
}

internal static class ConditionKeys
{
    /// <summary>The use cases' keys; null stays null, which says that nobody looked.</summary>
    public static IReadOnlyList<string>? Of(IReadOnlyList<Conditions>? conditions) =>
        conditions is null ? null : ConditionRules.Keys(conditions.Aggregate(Conditions.None, (all, one) => all | one));
}
