using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Stock;

/// <summary>
/// Lengths of a lot's balances as generated columns, and the indexes that answer the inventory from them: reckoned once at a write and
/// not for each lot of the room whenever somebody looks. The domain computes the same; tests compare both.
/// </summary>
internal static class LotLengths
{
    private const string Shelf = "(on_hand_mg - quarantined_mg)";
    private const string Free = "(on_hand_mg - quarantined_mg - held_mg)";

    // z(0.95) / √6: the error of a weighing with scale division d is d/√6.
    private const string WeighingAt95 = "0.67150868126622321";

    public static void Configure(EntityTypeBuilder<Lot> builder)
    {
        builder.Property(l => l.ShelfMetres).HasComputedColumnSql(Mean(Shelf), stored: true);
        builder.Property(l => l.ShelfOwnVariance).HasComputedColumnSql(OwnVariance(Shelf), stored: true);
        builder.Property(l => l.ShelfMetresLow).HasComputedColumnSql(Low(Shelf), stored: true);
        builder.Property(l => l.FreeMetres).HasComputedColumnSql(Mean(Free), stored: true);
        builder.Property(l => l.FreeOwnVariance).HasComputedColumnSql(OwnVariance(Free), stored: true);
        builder.Property(l => l.FreeMetresLow).HasComputedColumnSql(Low(Free), stored: true);
        builder.Property(l => l.FreeMetresByLow).HasComputedColumnSql($"case when mass_known then coalesce({Metres("metres_per100g_low", Free)}, 0) else 0 end", stored: true);

        // All that the totals add up, in the order by which they are grouped, so that the wide rows are not read.
        builder.HasIndex(l => new { l.ColourFamily, l.WeightClass }).HasFilter("closed_at is null").IncludeProperties(
            l => new { l.QuarantineReason, l.MassKnown, l.OnHandMg, l.QuarantinedMg, l.HeldMg, l.LengthSharedSd, l.LengthOwnVariance, l.ShelfMetres, l.ShelfOwnVariance, l.FreeMetres, l.FreeOwnVariance });

        // The wall's blocks in their order: the longest of a cell are its first.
        builder.HasIndex(l => new { l.ColourFamily, l.WeightClass, l.FreeMetresLow, l.Code }).IsDescending(false, false, true, false).HasFilter("closed_at is null").IncludeProperties(
            l => new { l.Id, l.ColourHex, l.QuarantineReason, l.MassKnown, l.OnHandMg, l.QuarantinedMg, l.HeldMg, l.MetresPer100gLow });
        builder.HasIndex(l => new { l.ColourFamily, l.WeightClass, l.ShelfMetresLow, l.Code }).IsDescending(false, false, true, false).HasFilter("closed_at is null").IncludeProperties(
            l => new { l.Id, l.ColourHex, l.QuarantineReason, l.MassKnown, l.OnHandMg, l.QuarantinedMg, l.MetresPer100gLow });

        // The longest first, and those that are long enough, whatever else is asked of them.
        builder.HasIndex(l => new { l.FreeMetresByLow, l.Id }).IsDescending(true, false).HasFilter("closed_at is null").IncludeProperties(
            l => new { l.MachineWashable, l.FibreCodes, l.ColourFamily, l.WeightClass });

        // The few of which something is reserved, kept apart or not weighed.
        builder.HasIndex(l => l.Id).HasDatabaseName("ix_lot_set_apart")
            .HasFilter("closed_at is null and (held_mg > 0 or quarantined_mg > 0 or quarantine_reason is not null or not mass_known)")
            .IncludeProperties(l => new { l.HeldMg, l.QuarantinedMg, l.QuarantineReason, l.MassKnown });
    }

    private static string Metres(string per100g, string mg) => $"{per100g} * {mg}::double precision / 100000.0";

    private static string Mean(string mg) => $"coalesce({Metres("metres_per100g_mean", mg)}, 0)";

    private static string OwnVariance(string mg) =>
        $"coalesce(({Metres("metres_per100g_mean", mg)}) * ({Metres("metres_per100g_mean", mg)}) * length_own_variance, 0) "
        + $"+ case when {mg} = 0 then 0 else coalesce(power({Metres("metres_per100g_mean", "scale_division_mg")}, 2) / 6, 0) end";

    // exp(-700) is the least that a double takes with its digits; the server refuses to go below instead of saying 0.
    private static string Low(string mg) =>
        $"coalesce({Metres("metres_per100g_likely", mg)} * exp(-least(700, sqrt(power(ln(metres_per100g_likely / metres_per100g_low), 2) "
        + $"+ power(case when {mg} = 0 then 0 else coalesce({WeighingAt95} * scale_division_mg::double precision / {mg}::double precision, 0) end, 2)))), 0)";
}
