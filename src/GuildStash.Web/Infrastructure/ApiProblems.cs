using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Infrastructure;

/// <summary>Problem documents after RFC 9457: what a program gets instead of what it asked for, in the reader's language.</summary>
public static class ApiProblems
{
    /// <summary>Rule of a request that can't be read at all, as against one whose values are out of range.</summary>
    public const string Malformed = "malformed-request";

    /// <summary>What can't be read as the field's kind of value; answered with 400.</summary>
    public static Refusal Unreadable(string field, string text, params object[] arguments) =>
        new(Malformed, RefusalKind.Invalid, new Phrase(text, arguments), field.Length == 0 ? null : field);

    /// <summary>
    /// The first refusal decides the status: 400 unreadable, 403, 404, 409 a rule that depends on the present state, 422 a value out of
    /// range, 503 a database that is away. Refusals that belong to a field are also listed under it.
    /// </summary>
    /// <param name="rename">From the use case's field to the request's, where they differ.</param>
    public static IResult Refused(IReadOnlyList<Refusal> refusals, Func<string, string>? rename = null) => new RefusalProblem(refusals, rename ?? (field => field));

    /// <summary>A status without more to say than what it means.</summary>
    public static IResult Of(int status) => Of(status, new Phrase(status switch
    {
        StatusCodes.Status400BadRequest => "The request can't be read.",
        StatusCodes.Status401Unauthorized => "This needs a token.",
        StatusCodes.Status403Forbidden => "You may not do this. Ask a coordinator of your guild.",
        StatusCodes.Status404NotFound => "There is nothing at this address. See /openapi/v1.json for what there is.",
        StatusCodes.Status405MethodNotAllowed => "This address does not take this method. See /openapi/v1.json for those it takes.",
        StatusCodes.Status413PayloadTooLarge => "The body is too large: at most 1 MB is taken.",
        StatusCodes.Status415UnsupportedMediaType => "The body must be JSON: send the header \"Content-Type: application/json\".",
        StatusCodes.Status429TooManyRequests => "Too many tries. Wait a minute.",
        >= StatusCodes.Status500InternalServerError => "Something went wrong in the program; nothing was saved. Try again, and tell the administrator if it stays.",
        _ => "The request was refused.",
    }));

    public static IResult Of(int status, Phrase sentence) => new StatusProblem(status, sentence);

    /// <summary>The HTTP status that a refusal comes to.</summary>
    public static int StatusOf(Refusal refusal) => refusal switch
    {
        { Rule: Malformed } => StatusCodes.Status400BadRequest,
        { Kind: RefusalKind.Forbidden } => StatusCodes.Status403Forbidden,
        { Kind: RefusalKind.NotFound } => StatusCodes.Status404NotFound,
        { Kind: RefusalKind.Conflict } => StatusCodes.Status409Conflict,
        { Kind: RefusalKind.Unavailable } => StatusCodes.Status503ServiceUnavailable,
        _ => StatusCodes.Status422UnprocessableEntity,
    };

    private static IStringLocalizer<Texts> TextsOf(HttpContext context) => context.RequestServices.GetRequiredService<IStringLocalizer<Texts>>();

    private sealed class RefusalProblem(IReadOnlyList<Refusal> refusals, Func<string, string> rename) : IResult
    {
        public Task ExecuteAsync(HttpContext httpContext)
        {
            IStringLocalizer<Texts> texts = TextsOf(httpContext);
            Dictionary<string, object?> more = new() { ["rule"] = refusals[0].Rule };
            if (refusals.Count > 1 && refusals.Select(r => r.Rule).Distinct().ToArray() is { Length: > 1 } rules)
            {
                more["rules"] = rules;
            }

            Dictionary<string, string[]> errors = refusals.Where(r => r.Field is not null)
                .GroupBy(r => rename(r.Field!)).ToDictionary(g => g.Key, g => g.Select(r => texts.SayPlainly(r.Sentence)).ToArray());
            if (errors.Count > 0)
            {
                more["errors"] = errors;
            }

            string detail = string.Join(" ", refusals.Select(r => texts.SayPlainly(r.Sentence)).Distinct());
            return TypedResults.Problem(detail, statusCode: StatusOf(refusals[0]), extensions: more).ExecuteAsync(httpContext);
        }
    }

    private sealed class StatusProblem(int status, Phrase sentence) : IResult
    {
        public Task ExecuteAsync(HttpContext httpContext) =>
            TypedResults.Problem(TextsOf(httpContext).SayPlainly(sentence), statusCode: status).ExecuteAsync(httpContext);
    }
}
