using System.Globalization;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Printing;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Infrastructure.Security;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Output;

/// <summary>The output as a file for a spreadsheet, by the filter in the address; a cookie route with the rights of the page.</summary>
public static class OutputCsv
{
    public const string Route = "/csv/output.csv";

    public static void MapOutputCsv(this IEndpointRouteBuilder app) => app.MapGet(Route, RunAsync).RequireAuthorization().ExcludeFromDescription();

    private static async Task<IResult> RunAsync(HttpContext http, string? year, string? recipient, OutputReader reader, IStringLocalizer<Texts> texts, PersonDisplay display, GuildDefaults guild, TimeProvider clock)
    {
        display.Use(DisplayChoices.Of(http.User, guild.LengthUnit));
        Outcome<OutputView> view = await reader.RunAsync(SignedIn.IdOf(http.User), http.RequestAborted);
        if (!view.IsOk)
        {
            return PrintRoutes.Sentence(http, view.Refusals);
        }

        string[] heads = [texts["Recipient"], texts["Year"], texts["Pieces"], texts["Grams"], texts["Probably, {0}", display.UnitName], texts["Grams of unknown length"]];
        string name = string.Create(CultureInfo.InvariantCulture, $"output-{TimeZoneInfo.ConvertTime(clock.GetUtcNow(), guild.Zone):yyyy-MM-dd}.csv");
        OutputFilter filter = OutputFilter.Read(year, recipient);
        await using CsvFile file = new(http, name, heads);
        foreach (OutputRow row in view.Value.Rows.Where(filter.Takes))
        {
            await file.WriteAsync([row.Recipient, Whole(row.Year), Whole(row.Pieces), Grams(row.Mg), Whole(Math.Round(display.FromMetres(row.Metres))), Grams(row.UnmeasuredMg)]);
        }

        await file.EndAsync();
        return TypedResults.Empty;
    }

    private static string Whole(double number) => number.ToString("0", CultureInfo.InvariantCulture);

    private static string Grams(long milligrams) => (milligrams / 1000m).ToString("0.###", CultureInfo.InvariantCulture);
}
