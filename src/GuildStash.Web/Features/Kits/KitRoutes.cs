using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Features.Printing;
using GuildStash.Web.Infrastructure.Security;

namespace GuildStash.Web.Features.Kits;

/// <summary>Cookie routes of kits: their papers, and the short address behind a label's code.</summary>
public static class KitRoutes
{
    public static void MapKits(this IEndpointRouteBuilder app)
    {
        RouteGroupBuilder pages = app.MapGroup("").RequireAuthorization().ExcludeFromDescription();
        pages.MapGet("/k/{number}", (string number) => TypedResults.LocalRedirect("/kits/" + Uri.EscapeDataString(number.ToUpperInvariant())));
        pages.MapGet("/print/kit-pick-list.pdf", async (string? kits, string? paper, HttpContext http, KitPapers papers) =>
            Answer(http, await papers.PickListAsync(SignedIn.IdOf(http.User), Numbers(kits), paper, PrintLanguage.Of(http), http.RequestAborted)));
        pages.MapGet("/print/kit-labels.pdf", async ([AsParameters] LabelQuery query, HttpContext http, KitPapers papers) =>
        {
            Outcome<LabelJob> job = query.Job();
            return Answer(http, job.IsOk
                ? await papers.LabelsAsync(SignedIn.IdOf(http.User), Numbers(query.Kits), job.Value, PrintLanguage.Of(http), http.RequestAborted)
                : Outcome<PrintedPaper>.Refused(job.Refusals));
        });
    }

    /// <summary>Values as they stand in the address; read here, so that a mistyped one is answered with a sentence.</summary>
    private sealed record LabelQuery(string? Kits, string? Sheet, string? Start, string? NudgeX, string? NudgeY)
    {
        public Outcome<LabelJob> Job()
        {
            ApiQuery read = new();
            (int? start, double? x, double? y) = (read.Whole(Start, "start"), read.Number(NudgeX, "nudgeX"), read.Number(NudgeY, "nudgeY"));
            return read.Refusals.Count > 0 ? Outcome<LabelJob>.Refused(read.Refusals) : LabelJob.Create(Sheet, start, x, y);
        }
    }

    private static string[] Numbers(string? kits) => (kits ?? "").Split([',', ' '], StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);

    private static IResult Answer(HttpContext http, Outcome<PrintedPaper> paper) => paper.IsOk ? PrintedPaper.Result(paper.Value) : PrintRoutes.Sentence(http, paper.Refusals);
}
