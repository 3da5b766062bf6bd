using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Inventory;

/// <summary>Filters that combine; what is null does not filter.</summary>
public sealed record LotFilter
{
    public WeightClass? WeightClass { get; init; }

    /// <summary>Lots whose class nobody knows yet.</summary>
    public bool ClassUnknown { get; init; }

    public ColourFamily? ColourFamily { get; init; }

    public bool ColourUnknown { get; init; }

    /// <summary>Fibre code, for instance WO; "unknown" for lots whose fibre nobody knows.</summary>
    public string? Fibre { get; init; }

    public bool? Washable { get; init; }

    public string? DyeLot { get; init; }

    public string? BinCode { get; init; }

    public LotStatus? Status { get; init; }

    /// <summary>Only lots that have some of this part of the stock.</summary>
    public StockPart? Part { get; init; }

    /// <summary>At least so many metres free, by the low figure per 100 g.</summary>
    public double? MinMetres { get; init; }

    /// <summary>At most so many days since it was sorted.</summary>
    public int? AtMostDaysOld { get; init; }

    /// <summary>At least so many days since it was sorted.</summary>
    public int? AtLeastDaysOld { get; init; }

    /// <summary>Words or a code, looked for in code, notes, dye lot, donation number and bin.</summary>
    public string? Query { get; init; }

    /// <summary>Only lots that this project may take: those that a plan would let a part of its pieces use, as far as there is enough of them.</summary>
    public Guid? ProjectId { get; init; }

    public Guid? DonationId { get; init; }

    public Guid? BagId { get; init; }

    /// <summary>Lots that left the room for good are left out unless asked for.</summary>
    public bool WithClosed { get; init; }
}

public enum LotOrder
{
    Newest = 0,
    Oldest = 1,
    LongestFree = 2,
    Heaviest = 3,
    ShelfOrder = 4,
}

internal static class LotOrders
{
    /// <summary>The order as it stands in an address; newest first where it can't be read.</summary>
    public static LotOrder Read(string? key) => Enum.TryParse(key, ignoreCase: true, out LotOrder order) && Enum.IsDefined(order) ? order : LotOrder.Newest;
}

internal static class LotFilters
{
    /// <summary>Letters and digits of a lot's code.</summary>
    private const int LongestCode = 7;

    public static async Task<Outcome<IQueryable<Lot>>> ApplyAsync(Act act, LotFilter filter)
    {
        IQueryable<Lot> lots = act.Db.Lots.AsNoTracking();
        lots = filter.WithClosed || filter.Status == LotStatus.Closed ? lots : lots.Where(l => l.ClosedAt == null);
        lots = filter.WeightClass is { } weight ? lots.Where(l => l.WeightClass == weight) : filter.ClassUnknown ? lots.Where(l => l.WeightClass == null) : lots;
        lots = filter.ColourFamily is { } colour ? lots.Where(l => l.ColourFamily == colour) : filter.ColourUnknown ? lots.Where(l => l.ColourFamily == null) : lots;
        lots = filter.Washable switch
        {
            true => lots.Where(l => l.MachineWashable == Tristate.Yes),
            false => lots.Where(l => l.MachineWashable != Tristate.Yes),
            null => lots,
        };
        lots = filter.DonationId is { } donation ? lots.Where(l => l.DonationId == donation) : lots;
        lots = filter.BagId is { } bag ? lots.Where(l => l.BagId == bag) : lots;
        lots = string.IsNullOrWhiteSpace(filter.DyeLot) ? lots : lots.Where(l => EF.Functions.ILike(l.DyeLot, LikePattern.Containing(filter.DyeLot), LikePattern.EscapeSign));
        lots = Fibre(lots, filter.Fibre);
        lots = Age(lots, act.Now, filter);
        lots = Length(lots, filter.MinMetres);
        lots = filter.Status is { } status ? Status(lots, status) : lots;
        lots = filter.Part is { } part ? LotTotals.Having(lots, part) : lots;
        lots = filter.ProjectId is { } project ? await LotsForProject.ApplyAsync(act, lots, project) : lots;
        lots = await SearchAsync(act, lots, filter.Query);
        if (string.IsNullOrWhiteSpace(filter.BinCode))
        {
            return Outcome(lots);
        }

        Outcome<BinCode> bin = BinCode.Parse(filter.BinCode);
        if (!bin.IsOk)
        {
            return bin.Refusal with { Field = "bin" };
        }

        string code = bin.Value.Value;
        return Outcome(lots.Where(l => l.Bin.Code == code));
    }

    public static IQueryable<Lot> Order(IQueryable<Lot> lots, LotOrder order) => order switch
    {
        LotOrder.Oldest => lots.OrderBy(l => l.CreatedAt).ThenBy(l => l.Id),
        LotOrder.LongestFree => lots.OrderByDescending(l => l.FreeMetresByLow).ThenBy(l => l.Id),
        LotOrder.Heaviest => lots.OrderByDescending(l => l.OnHandMg).ThenBy(l => l.Id),
        LotOrder.ShelfOrder => lots.OrderBy(l => l.Bin.Name).ThenBy(l => l.ColourFamily).ThenBy(l => l.Id),
        _ => lots.OrderByDescending(l => l.CreatedAt).ThenByDescending(l => l.Id),
    };

    private static Outcome<IQueryable<Lot>> Outcome(IQueryable<Lot> lots) => Wrap(lots);

    // The implicit conversion does not exist for interfaces, so the value goes through a generic helper.
    private static Outcome<T> Wrap<T>(T value) => value;

    private static IQueryable<Lot> Fibre(IQueryable<Lot> lots, string? fibre)
    {
        if (string.IsNullOrWhiteSpace(fibre))
        {
            return lots;
        }

        string code = fibre.Trim().ToUpperInvariant();
        return code == "UNKNOWN" ? lots.Where(l => l.FibreCodes.Count == 0) : lots.Where(l => l.FibreCodes.Contains(code));
    }

    private static IQueryable<Lot> Age(IQueryable<Lot> lots, DateTimeOffset now, LotFilter filter)
    {
        if (filter.AtMostDaysOld is >= 0 and { } most)
        {
            DateTimeOffset since = now.AddDays(-most);
            lots = lots.Where(l => l.CreatedAt >= since);
        }

        if (filter.AtLeastDaysOld is >= 0 and { } least)
        {
            DateTimeOffset until = now.AddDays(-least);
            lots = lots.Where(l => l.CreatedAt <= until);
        }

        return lots;
    }

    private static IQueryable<Lot> Length(IQueryable<Lot> lots, double? minMetres)
    {
        if (minMetres is not > 0)
        {
            return lots;
        }

        double metres = minMetres.Value;
        return lots.Where(l => l.FreeMetresByLow >= metres);
    }

    private static IQueryable<Lot> Status(IQueryable<Lot> lots, LotStatus status) => status switch
    {
        LotStatus.Closed => lots.Where(l => l.ClosedAt != null),
        LotStatus.Quarantined => LotTotals.Having(lots, StockPart.InQuarantine),
        LotStatus.Unweighed => lots.Where(l => !l.MassKnown && l.QuarantineReason == null),
        LotStatus.Reserved => lots.Where(l => l.QuarantineReason == null && l.HeldMg > 0 && l.OnHandMg == l.HeldMg + l.QuarantinedMg),
        _ => LotTotals.Having(lots, StockPart.Free),
    };

    /// <summary>
    /// Bins are few, so those that fit are asked for first: with their keys as a list, and not a join, the database answers the rest
    /// from its indexes.
    /// </summary>
    private static async Task<IQueryable<Lot>> SearchAsync(Act act, IQueryable<Lot> lots, string? query)
    {
        if (string.IsNullOrWhiteSpace(query))
        {
            return lots;
        }

        string typed = query.Trim().ToLowerInvariant();
        string like = LikePattern.Containing(typed);
        // What may be a code, or a part of one, is looked for however it was typed, with hyphen, spaces or without.
        string code = new([.. typed.Where(char.IsAsciiLetterOrDigit)]);
        string codeLike = code.Length is > 0 and <= LongestCode ? LikePattern.Containing(code) : like;
        Guid[] bins = await act.Db.Bins
            .Where(b => EF.Functions.ILike(b.Name, like, LikePattern.EscapeSign) || EF.Functions.ILike(b.Code, codeLike, LikePattern.EscapeSign))
            .Select(b => b.Id).ToArrayAsync(act.Cancellation);
        IQueryable<Lot> byWords = (IsPair(typed), IsPair(code)) switch
        {
            (true, _) => lots.Where(l => LotPairs.Has(l.Words, typed)),
            _ when like == codeLike => lots.Where(l => EF.Functions.Like(l.Words, like, LikePattern.EscapeSign)),
            (_, true) => lots.Where(l => EF.Functions.Like(l.Words, like, LikePattern.EscapeSign) || LotPairs.Has(l.Words, code)),
            _ => lots.Where(l => EF.Functions.Like(l.Words, like, LikePattern.EscapeSign) || EF.Functions.Like(l.Words, codeLike, LikePattern.EscapeSign)),
        };
        if (bins.Length == 0)
        {
            return byWords;
        }

        // With "or" the database would look at the words of every find again, even where no bin fits.
        IQueryable<Guid> found = byWords.Select(l => l.Id);
        return lots.Where(l => bins.Contains(l.BinId) || found.Contains(l.Id));
    }

    /// <summary>Two letters have an index of their own; a letter outside the basic plane is one for the database and two here.</summary>
    private static bool IsPair(string text) => text.EnumerateRunes().Count() == 2;
}
