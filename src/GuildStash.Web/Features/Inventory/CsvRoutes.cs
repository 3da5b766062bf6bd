using System.Globalization;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Printing;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Infrastructure.Security;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Inventory;

/// <summary>Cookie routes that hand out as CSV what the inventory's pages show, by the same filters in the address and the same rights.</summary>
public static class CsvRoutes
{
    public const string Summary = "/csv/inventory.csv";

    public const string Lots = "/csv/lots.csv";

    public static void MapCsv(this IEndpointRouteBuilder app)
    {
        RouteGroupBuilder files = app.MapGroup("").RequireAuthorization().ExcludeFromDescription();
        files.MapGet(Summary, SummaryAsync);
        files.MapGet(Lots, LotsAsync);
    }

    private static async Task<IResult> SummaryAsync(HttpContext http, InventoryReader reader, IStringLocalizer<Texts> texts, PersonDisplay display, GuildDefaults guild, TimeProvider clock)
    {
        display.Use(DisplayChoices.Of(http.User, guild.LengthUnit));
        LotFilterAddress address = LotFilterAddress.OfQuery(http.Request.QueryString.Value ?? "");
        Outcome<IReadOnlyList<SummaryRow>> rows = await reader.SummaryAsync(SignedIn.IdOf(http.User), address.Read([]), address.Part, http.RequestAborted);
        if (!rows.IsOk)
        {
            return PrintRoutes.Sentence(http, rows.Refusals);
        }

        CsvColumns<SummaryRow> columns = CsvColumns.OfSummary(texts, display);
        await using CsvFile file = new(http, Name($"inventory-{Word(address.Part)}", guild, clock), columns.Heads);
        foreach (SummaryRow row in rows.Value.OrderBy(r => r.WeightClass is null).ThenBy(r => r.WeightClass).ThenBy(r => r.ColourFamily is null).ThenBy(r => r.ColourFamily))
        {
            await file.WriteAsync(columns.Cells(row));
        }

        await file.EndAsync();
        return TypedResults.Empty;
    }

    private static async Task<IResult> LotsAsync(HttpContext http, string? order, InventoryReader reader, IStringLocalizer<Texts> texts, PersonDisplay display, GuildDefaults guild, TimeProvider clock)
    {
        display.Use(DisplayChoices.Of(http.User, guild.LengthUnit));
        LotFilter filter = LotFilterAddress.OfQuery(http.Request.QueryString.Value ?? "").Read([]);
        CsvColumns<LotView> columns = CsvColumns.OfLots(texts, display);
        await using CsvFile file = new(http, Name("lots", guild, clock), columns.Heads);
        Outcome<int> written = await reader.EachLotAsync(
            SignedIn.IdOf(http.User), filter, LotOrders.Read(order), lot => file.WriteAsync(columns.Cells(lot)), http.RequestAborted);
        if (!written.IsOk)
        {
            return PrintRoutes.Sentence(http, written.Refusals);
        }

        await file.EndAsync();
        return TypedResults.Empty;
    }

    private static string Word(StockPart part) => part switch
    {
        StockPart.OnShelves => "shelves",
        StockPart.InQuarantine => "quarantine",
        _ => "free",
    };

    /// <summary>With the day on the guild's wall.</summary>
    private static string Name(string what, GuildDefaults guild, TimeProvider clock) =>
        string.Create(CultureInfo.InvariantCulture, $"{what}-{TimeZoneInfo.ConvertTime(clock.GetUtcNow(), guild.Zone):yyyy-MM-dd}.csv");
}
