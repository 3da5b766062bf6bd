using GuildStash.Data.Counting;
using GuildStash.Data.Stock;

namespace GuildStash.Web.Features.Counting;

/// <summary>What a lot keeps of the scale that its whole mass was weighed on.</summary>
internal static class WeighedOn
{
    /// <summary>For trade only where the step that was entered is the verified scale's own: whoever changed it weighed elsewhere.</summary>
    public static void Mark(Lot lot, Scale? scale)
    {
        lot.ScaleDivisionMg ??= scale?.DivisionMg;
        lot.WeighedForTrade = scale is { IsVerified: true } && lot.ScaleDivisionMg == scale.DivisionMg;
    }
}
