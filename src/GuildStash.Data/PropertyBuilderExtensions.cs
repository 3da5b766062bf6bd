using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data;

internal static class PropertyBuilderExtensions
{
    /// <summary>A balance: zero on insert, then changed by the database's triggers alone. The application reads it and never writes it.</summary>
    public static void KeptByTriggers(this PropertyBuilder<long> property) => KeptByTriggers(property, 0L);

    /// <summary>A text made by the database's triggers from other columns.</summary>
    public static void KeptByTriggers(this PropertyBuilder<string> property) => KeptByTriggers(property, "");

    private static void KeptByTriggers<T>(PropertyBuilder<T> property, T atFirst)
    {
        property.HasDefaultValue(atFirst);
        property.Metadata.SetBeforeSaveBehavior(PropertySaveBehavior.Ignore);
        property.Metadata.SetAfterSaveBehavior(PropertySaveBehavior.Ignore);
    }
}
