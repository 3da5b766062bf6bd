using System.Globalization;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Printing;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Infrastructure.Security;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Counting;

/// <summary>
/// Counts as a file for a spreadsheet; a cookie route with the rights of the page. What is missing and what is too much have columns of
/// their own: a figure that begins with a minus would be taken for a formula.
/// </summary>
public static class CountCsv
{
    public const string Route = "/csv/counts.csv";

    public static void MapCountCsv(this IEndpointRouteBuilder app) => app.MapGet(Route, RunAsync).RequireAuthorization(Policies.Volunteer).ExcludeFromDescription();

    private static async Task<IResult> RunAsync(HttpContext http, string? bin, CountReader reader, IStringLocalizer<Texts> texts, GuildDefaults guild, TimeProvider clock)
    {
        string[] heads = [texts["Bin"], texts["Name"], texts["Begun"], texts["Ended"], texts["Counted by"], texts["Way"], texts["Lots"], texts["Books, g"], texts["Found, g"], texts["Missing, g"], texts["Too much, g"], texts["Tolerance, g"], texts["Outcome"]];
        string name = string.Create(CultureInfo.InvariantCulture, $"counts-{TimeZoneInfo.ConvertTime(clock.GetUtcNow(), guild.Zone):yyyy-MM-dd}.csv");
        await using CsvFile file = new(http, name, heads);
        Outcome<int> written = await reader.EachAsync(SignedIn.IdOf(http.User), bin, count => file.WriteAsync(Cells(count, texts, guild)), http.RequestAborted);
        if (!written.IsOk)
        {
            return PrintRoutes.Sentence(http, written.Refusals);
        }

        await file.EndAsync();
        return TypedResults.Empty;
    }

    private static string[] Cells(PastCount count, IStringLocalizer<Texts> texts, GuildDefaults guild) =>
    [
        count.BinDisplay, count.BinName, Moment(count.BegunAt, guild), count.EndedAt is { } ended ? Moment(ended, guild) : "", count.By, texts.Say(Domain.Counting.CountTerms.Name(count.Way)),
        count.Lots.ToString(CultureInfo.InvariantCulture), Grams(count.BookMg), Grams(count.FoundMg), Grams(count.DifferenceMg is { } less and < 0 ? -less : count.DifferenceMg is null ? null : 0), Grams(count.DifferenceMg is { } more ? Math.Max(0, more) : null), Grams(count.ToleranceMg), texts.Say(Domain.Counting.CountTerms.Name(count.Outcome)),
    ];

    private static string Moment(DateTimeOffset at, GuildDefaults guild) => TimeZoneInfo.ConvertTime(at, guild.Zone).ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);

    private static string Grams(long? mg) => mg is { } known ? (known / 1000m).ToString("0.###", CultureInfo.InvariantCulture) : "";
}
