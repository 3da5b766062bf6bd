using System.Security.Claims;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Features.Printing;

namespace GuildStash.Web.Features.Bins;

internal static class BinEndpoints
{
    public static void MapBins(this RouteGroupBuilder api) =>
        api.MapGet("/bins/{code}/label.pdf", LabelAsync).WithTags("Bins").WithSummary("The bin's label, alone on a page of its size.")
            .Produces<byte[]>(StatusCodes.Status200OK, "application/pdf");

    private static async Task<IResult> LabelAsync(string code, ClaimsPrincipal me, BinLabelData labels, HttpContext context, CancellationToken cancellation) =>
        (await labels.PrintOneAsync(me.Id(), code, PrintLanguage.Of(context), cancellation)).Answer(PrintedPaper.Result);
}
