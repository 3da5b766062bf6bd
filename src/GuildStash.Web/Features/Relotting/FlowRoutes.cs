using System.Globalization;
using GuildStash.Domain.Relotting;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Printing;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Infrastructure.Security;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Relotting;

/// <summary>Histories as CSV, with the same rights as their pages; days as YYYY-MM-DD, grams to the milligram.</summary>
public static class FlowRoutes
{
    public static string OfLot(string code) => $"/csv/lot-history/{code}.csv";

    public static string OfGift(Guid donationId) => $"/csv/gift-history/{donationId}.csv";

    public static void MapFlowCsv(this IEndpointRouteBuilder app)
    {
        RouteGroupBuilder files = app.MapGroup("/csv").RequireAuthorization().ExcludeFromDescription();
        files.MapGet("/lot-history/{code}.csv", async (string code, HttpContext http, FlowReader reader, IStringLocalizer<Texts> texts, PersonDisplay display, GuildDefaults guild) =>
            await SendAsync(http, await reader.OfLotAsync(SignedIn.IdOf(http.User), code, http.RequestAborted), texts, display, guild));
        files.MapGet("/gift-history/{donationId:guid}.csv", async (Guid donationId, HttpContext http, FlowReader reader, IStringLocalizer<Texts> texts, PersonDisplay display, GuildDefaults guild) =>
            await SendAsync(http, await reader.OfGiftAsync(SignedIn.IdOf(http.User), donationId, http.RequestAborted), texts, display, guild));
    }

    private static async Task<IResult> SendAsync(HttpContext http, Outcome<FlowView> view, IStringLocalizer texts, PersonDisplay display, GuildDefaults guild)
    {
        if (!view.IsOk)
        {
            return PrintRoutes.Sentence(http, view.Refusals);
        }

        display.Use(DisplayChoices.Of(http.User, guild.LengthUnit));
        string Day(DateTimeOffset? at) => at is { } moment ? display.LocalDay(moment).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture) : "";
        CsvColumns<FlowStep> columns = new(
            (texts["First day"], step => Day(step.First)),
            (texts["Last day"], step => Day(step.Last)),
            (texts["Times"], step => step.Times.ToString(CultureInfo.InvariantCulture)),
            (texts["What happened"], step => texts.StepOf(step)),
            (texts["From"], step => texts.PointOf(view.Value, step.From)),
            (texts["To"], step => texts.PointOf(view.Value, step.To)),
            (texts["Grams"], step => (step.Mg / 1000m).ToString("0.###", CultureInfo.InvariantCulture)));
        await using CsvFile file = new(http, $"history-{view.Value.Title}.csv", columns.Heads);
        foreach (FlowStep step in view.Value.Book.Steps)
        {
            await file.WriteAsync(columns.Cells(step));
        }

        await file.EndAsync();
        return TypedResults.Empty;
    }
}
