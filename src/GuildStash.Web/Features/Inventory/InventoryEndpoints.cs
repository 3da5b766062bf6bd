using System.ComponentModel;
using System.Security.Claims;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Inventory;

/// <summary>Filters of the list as they stand in the address; they combine.</summary>
internal sealed record LotQuery(
    [property: Description("A weight class, or unknown.")] string? WeightClass,
    [property: Description("A colour family, or unknown.")] string? ColourFamily,
    [property: Description("A fibre code such as WO, or unknown.")] string? Fibre,
    [property: Description("true: known to be machine-washable; false: all others.")] string? Washable,
    string? DyeLot,
    [property: Description("A bin's code.")] string? Bin,
    [property: Description("At least so many metres free, by the low figure.")] string? MinMetres,
    [property: Description("available, reserved, quarantined, unweighed or closed; closed lots are left out otherwise.")] string? Status,
    [property: Description("Words or a code.")] string? Q,
    [property: Description("Six hexadecimal digits: only lots whose colour looks like it, nearest first.")] string? NearHex,
    [property: Description("Largest CIEDE2000 difference from nearHex, 0 to 100; 10 when left out.")] string? Within,
    string? Page,
    [property: Description("1 to 500; 50 when left out.")] string? PageSize);

internal sealed record SummaryRowAnswer(ColourFamily? ColourFamily, WeightClass? WeightClass, int Lots, decimal Grams, double MetresLow, double MetresLikely, double MetresHigh);

internal sealed record SummaryTotalAnswer(int Lots, decimal Grams, double MetresLow, double MetresLikely, double MetresHigh);

internal sealed record SummaryAnswer(IReadOnlyList<SummaryRowAnswer> Rows, SummaryTotalAnswer Total);

internal static class InventoryEndpoints
{
    private const string Unknown = "unknown";

    public static void MapInventory(this RouteGroupBuilder api)
    {
        api.MapGet("/lots", ListAsync).WithTags("Inventory").WithSummary("Lots, newest first.").Produces<PageOf<LotAnswer>>();
        api.MapGet("/lots/{code}", OneAsync).WithTags("Inventory").WithSummary("One lot by its code, with or without hyphen.").Produces<LotAnswer>();
        api.MapGet("/inventory/summary", SummaryAsync).WithTags("Inventory").WithSummary("What is on open shelves by colour family and weight class.").Produces<SummaryAnswer>();
    }

    private static async Task<IResult> ListAsync(
        [AsParameters] LotQuery query, ClaimsPrincipal me, InventoryReader lots, LotsNearColour near, CancellationToken cancellation)
    {
        ApiQuery read = new();
        LotFilter filter = FilterOf(query, read);
        PageRequest page = read.Page(query.Page, query.PageSize);
        double? within = read.Number(query.Within, "within");
        Colour? colour = ColourOf(query.NearHex, read);
        if (within is not null && string.IsNullOrWhiteSpace(query.NearHex))
        {
            read.Add(Refusal.Invalid("within", "\"within\" needs a colour: give nearHex as well."));
        }

        if (read.Refusals.Count > 0)
        {
            return ApiProblems.Refused(read.Refusals);
        }

        Outcome<PageOf<LotView>> found = colour is { } centre
            ? await near.RunAsync(me.Id(), filter, centre, within ?? LotsNearColour.UsualDistance, page, cancellation)
            : await lots.LotsAsync(me.Id(), filter, LotOrder.Newest, page, cancellation);
        return found.Answer(some => TypedResults.Ok(some.Select(LotAnswer.Of)));
    }

    private static async Task<IResult> OneAsync(string code, ClaimsPrincipal me, InventoryReader lots, CancellationToken cancellation) =>
        (await lots.LotAsync(me.Id(), code, cancellation)).Answer(lot => TypedResults.Ok(LotAnswer.Of(lot)));

    private static async Task<IResult> SummaryAsync(ClaimsPrincipal me, InventoryReader lots, CancellationToken cancellation) =>
        (await lots.SummaryAsync(me.Id(), new LotFilter(), cancellation)).Answer(rows => TypedResults.Ok(new SummaryAnswer(
            [.. rows.OrderBy(r => r.ColourFamily is null).ThenBy(r => r.ColourFamily).ThenBy(r => r.WeightClass is null).ThenBy(r => r.WeightClass)
                .Select(r => new SummaryRowAnswer(r.ColourFamily, r.WeightClass, r.Lots, GuildApi.Grams(r.Mg),
                    ApiMetres.Low(r.MetresLow)!.Value, ApiMetres.Likely(r.MetresLikely)!.Value, ApiMetres.High(r.MetresHigh)!.Value))],
            TotalOf(rows))));

    private static SummaryTotalAnswer TotalOf(IReadOnlyList<SummaryRow> rows)
    {
        LengthRange length = SummaryRow.Total(rows);
        return new(rows.Sum(r => r.Lots), GuildApi.Grams(rows.Sum(r => r.Mg)),
            ApiMetres.Low(length.Low.Metres)!.Value, ApiMetres.Likely(length.Likely.Metres)!.Value, ApiMetres.High(length.High.Metres)!.Value);
    }

    private static LotFilter FilterOf(LotQuery query, ApiQuery read)
    {
        bool classUnknown = IsUnknown(query.WeightClass);
        bool colourUnknown = IsUnknown(query.ColourFamily);
        double? minMetres = read.Number(query.MinMetres, "minMetres");
        if (minMetres < 0)
        {
            read.Add(Refusal.Invalid("minMetres", "{0} m can't be asked for; allowed is 0 or more.", minMetres));
        }

        return new LotFilter
        {
            WeightClass = classUnknown ? null : read.Key<WeightClass>(query.WeightClass, "weightClass"),
            ClassUnknown = classUnknown,
            ColourFamily = colourUnknown ? null : read.Key<ColourFamily>(query.ColourFamily, "colourFamily"),
            ColourUnknown = colourUnknown,
            Fibre = FibreOf(query.Fibre, read),
            Washable = read.Flag(query.Washable, "washable"),
            DyeLot = read.Text(query.DyeLot, "dyeLot"),
            BinCode = read.Text(query.Bin, "bin"),
            MinMetres = minMetres,
            Status = read.Key<LotStatus>(query.Status, "status"),
            Query = read.Text(query.Q, "q"),
        };
    }

    private static bool IsUnknown(string? key) => string.Equals(key?.Trim(), Unknown, StringComparison.OrdinalIgnoreCase);

    private static string? FibreOf(string? sent, ApiQuery read)
    {
        string? code = read.Text(sent, "fibre");
        if (code is not null && !IsUnknown(code) && !FibreTable.TryFind(code, out _))
        {
            read.Add(Refusal.Invalid("fibre", "\"{0}\" is not a known fibre code. Known are {1}, and unknown.", code, string.Join(", ", FibreTable.All.Select(f => f.Code))));
        }

        return code;
    }

    private static Colour? ColourOf(string? hex, ApiQuery read)
    {
        if (string.IsNullOrWhiteSpace(hex))
        {
            return null;
        }

        Outcome<Colour> colour = Colour.Parse(hex);
        if (colour.IsOk)
        {
            return colour.Value;
        }

        read.Add(colour.Refusal with { Field = "nearHex" });
        return null;
    }
}
