using System.Globalization;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Printing;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Infrastructure.Security;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Settings;

/// <summary>Hands out as CSV what a table of weight classes would change; the table stands in the address.</summary>
public static class TableChangeRoutes
{
    public const string Address = "/csv/weight-classes.csv";

    public static void MapTableChange(this IEndpointRouteBuilder app) =>
        app.MapGet(Address, WriteAsync).RequireAuthorization().ExcludeFromDescription();

    private static async Task<IResult> WriteAsync(
        HttpContext http, string? standard, string? name, string? rows, PreviewWeightClasses preview, IStringLocalizer<Texts> texts, PersonDisplay display, GuildDefaults guild)
    {
        display.Use(DisplayChoices.Of(http.User, guild.LengthUnit));
        CsvColumns<LotChange> columns = new(
            (texts["Lot"], change => change.Display),
            (texts["Class now"], change => texts.ClassWord(change.ClassBefore)),
            (texts["Class then"], change => texts.ClassWord(change.ClassAfter)),
            (texts["At least now, {0}", display.UnitName], change => Number(change.MetresBefore, display)),
            (texts["At least then, {0}", display.UnitName], change => Number(change.MetresAfter, display)));
        await using CsvFile file = new(http, "weight-classes.csv", columns.Heads);
        Outcome<int> written = await preview.EachAsync(
            SignedIn.IdOf(http.User), WeightClassTableInput.OfQuery(standard == "true", name, rows), change => file.WriteAsync(columns.Cells(change)), http.RequestAborted);
        if (!written.IsOk)
        {
            return PrintRoutes.Sentence(http, written.Refusals);
        }

        await file.EndAsync();
        return TypedResults.Empty;
    }

    private static string Number(double? metres, PersonDisplay display) =>
        metres is { } known && ApiMetres.Low(display.FromMetres(known)) is { } low ? low.ToString("0.#", CultureInfo.InvariantCulture) : "";
}
