using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data;

internal static class PropertyBuilderExtensions
{
    /// <summary>A balance: zero on insert, then changed by the database's triggers alone. The application reads it and never writes it.</summary>
    public static void KeptByTriggers(this PropertyBuilder<long> property)
    {
        property.HasDefaultValue(0L);
        property.Metadata.SetBeforeSaveBehavior(PropertySaveBehavior.Ignore);
        property.Metadata.SetAfterSaveBehavior(PropertySaveBehavior.Ignore);
    }
}
