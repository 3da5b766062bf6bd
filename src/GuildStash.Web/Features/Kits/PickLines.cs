using GuildStash.Data.Ledger;

namespace GuildStash.Web.Features.Kits;

/// <summary>Which lines of a kit are fetched, and in which order one walks.</summary>
internal static class PickLines
{
    /// <summary>Lines whose yarn is held and still lies in its bin or on the table.</summary>
    public static IEnumerable<KitLineView> Of(KitView kit) =>
        kit.State is KitState.ToPack or KitState.Packed ? kit.Lines.Where(l => l.Hold == HoldState.Active) : [];

    /// <summary>By site, bin, lot and kit.</summary>
    public static IReadOnlyList<(KitView Kit, KitLineView Line)> InBinOrder(IEnumerable<KitView> kits) =>
    [
        .. kits.SelectMany(kit => Of(kit).Select(line => (kit, line)))
            .OrderBy(x => x.line.Site, StringComparer.CurrentCultureIgnoreCase).ThenBy(x => x.line.Lot.BinCode, StringComparer.Ordinal)
            .ThenBy(x => x.line.Lot.Code, StringComparer.Ordinal).ThenBy(x => x.kit.Number, StringComparer.Ordinal),
    ];
}
