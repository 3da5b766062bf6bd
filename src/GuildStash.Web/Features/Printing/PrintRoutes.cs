using System.Net.Mime;
using System.Security.Claims;
using System.Text;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Rules;
using GuildStash.Printing;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Printing;

/// <summary>Cookie routes that pages link to: PDFs and short addresses behind QR codes.</summary>
public static class PrintRoutes
{
    /// <summary>Where a gift's page is; its key follows.</summary>
    public const string GiftPage = "/intake/";

    public static void MapPages(this IEndpointRouteBuilder app)
    {
        RouteGroupBuilder pages = app.MapGroup("").RequireAuthorization().ExcludeFromDescription();
        pages.MapGet("/b/{code}", (string code) => TypedResults.LocalRedirect("/bins/" + Canonical(BinCode.TryParse(code, out BinCode bin) ? bin.Value : code)));
        pages.MapGet("/l/{code}", (string code) => TypedResults.LocalRedirect("/inventory/" + Canonical(LotCode.TryParse(code, out LotCode lot) ? lot.Value : code)));
        pages.MapGet("/g/{number}/{bag:int?}", GiftAsync);
        RouteGroupBuilder print = pages.MapGroup("/print");
        print.MapGet("/intake-sheet/{donationId:guid}.pdf", async (Guid donationId, int? bag, HttpContext http, IntakeSheetData sheets) =>
            await PaperAsync(http, (me, texts) => sheets.PrintAsync(me, donationId, bag ?? 1, texts, http.RequestAborted)));
        print.MapGet("/pick-up-slip/{requestId:guid}.pdf", async (Guid requestId, HttpContext http, PickUpSlipData slips) =>
            await PaperAsync(http, (me, texts) => slips.PrintAsync(me, requestId, texts, http.RequestAborted)));
        print.MapGet("/bin-label/{code}.pdf", async (string code, HttpContext http, BinLabelData labels) =>
            await PaperAsync(http, (me, texts) => labels.PrintOneAsync(me, code, texts, http.RequestAborted)));
        print.MapGet("/bin-labels.pdf", async ([AsParameters] LabelQuery query, HttpContext http, BinLabelData labels) =>
            await SheetsAsync(http, query, (me, codes, job, texts) => labels.PrintAsync(me, codes, job, texts, http.RequestAborted)));
        print.MapGet("/lot-labels.pdf", async ([AsParameters] LabelQuery query, HttpContext http, LotLabelData labels) =>
            await SheetsAsync(http, query, (me, codes, job, texts) => labels.PrintAsync(me, codes, job, texts, http.RequestAborted)));
        print.MapGet("/test-page.pdf", async ([AsParameters] LabelQuery query, HttpContext http) =>
            await PaperAsync(http, (_, texts) => Task.FromResult(TestPage(query, texts))));
        print.MapGet("/wraps-card.pdf", async (string? paper, GuildYardage yardage, HttpContext http) =>
            await PaperAsync(http, (_, texts) => Task.FromResult(BenchPapers.WrapsCard(paper, yardage.Now.Table, texts))));
        print.MapGet("/sample-gauge.pdf", async (string? paper, GuildYardage yardage, HttpContext http) =>
            await PaperAsync(http, (_, texts) => Task.FromResult(BenchPapers.SampleGauge(paper, yardage.Now.Table, texts))));
    }

    /// <summary>Values as they stand in the address; read here, so that a mistyped one is answered with a sentence.</summary>
    private sealed record LabelQuery(string? Codes, string? Sheet, string? Start, string? NudgeX, string? NudgeY)
    {
        public Outcome<LabelJob> Job()
        {
            ApiQuery read = new();
            (int? start, double? x, double? y) = (read.Whole(Start, "start"), read.Number(NudgeX, "nudgeX"), read.Number(NudgeY, "nudgeY"));
            return read.Refusals.Count > 0 ? Outcome<LabelJob>.Refused(read.Refusals) : LabelJob.Create(Sheet, start, x, y);
        }
    }

    private static async Task<IResult> GiftAsync(string number, int? bag, ClaimsPrincipal me, GiftFinder gifts, HttpContext http)
    {
        Outcome<Guid> gift = await gifts.FindAsync(SignedIn.IdOf(me), number, http.RequestAborted);
        return gift.IsOk ? TypedResults.LocalRedirect($"{GiftPage}{gift.Value}{(bag is { } one ? $"?bag={one}" : "")}") : Sentence(http, gift.Refusals);
    }

    private static Task<IResult> SheetsAsync(
        HttpContext http, LabelQuery query, Func<Guid, string[], LabelJob, PrintTexts, Task<Outcome<PrintedPaper>>> print) =>
        PaperAsync(http, async (me, texts) =>
        {
            (Outcome<string[]> codes, Outcome<LabelJob> job) = (LabelJob.Codes(query.Codes), query.Job());
            return codes.IsOk && job.IsOk
                ? await print(me, codes.Value, job.Value, texts)
                : Outcome<PrintedPaper>.Refused([.. codes.Refusals, .. job.Refusals]);
        });

    private static Outcome<PrintedPaper> TestPage(LabelQuery query, PrintTexts texts)
    {
        Outcome<LabelJob> job = query.Job();
        return job.IsOk
            ? new PrintedPaper("test-page.pdf", TestPageDocument.Render(job.Value.Layout, texts, job.Value.Placement))
            : Outcome<PrintedPaper>.Refused(job.Refusals);
    }

    private static async Task<IResult> PaperAsync(HttpContext http, Func<Guid, PrintTexts, Task<Outcome<PrintedPaper>>> print)
    {
        Outcome<PrintedPaper> paper = await print(SignedIn.IdOf(http.User), PrintLanguage.Of(http));
        return paper.IsOk ? PrintedPaper.Result(paper.Value) : Sentence(http, paper.Refusals);
    }

    /// <summary>Who follows a link to a paper that can't be printed reads why, in place of the paper.</summary>
    internal static IResult Sentence(HttpContext http, IReadOnlyList<Refusal> refusals)
    {
        IStringLocalizer<Texts> texts = http.RequestServices.GetRequiredService<IStringLocalizer<Texts>>();
        string sentence = string.Join("\n", refusals.Select(refusal => texts.Say(refusal)));
        return TypedResults.Text(sentence, MediaTypeNames.Text.Plain, Encoding.UTF8, ApiProblems.StatusOf(refusals[0]));
    }

    private static string Canonical(string code) => Uri.EscapeDataString(code);
}
