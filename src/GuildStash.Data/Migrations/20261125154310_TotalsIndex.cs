using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace GuildStash.Data.Migrations
{
    /// <inheritdoc />
    public partial class TotalsIndex : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropIndex(
                name: "ix_lot_colour_family_weight_class",
                table: "lot");

            migrationBuilder.CreateIndex(
                name: "ix_lot_colour_family_weight_class",
                table: "lot",
                columns: new[] { "colour_family", "weight_class" },
                filter: "closed_at is null")
                .Annotation("Npgsql:IndexInclude", new[] { "quarantine_reason", "mass_known", "on_hand_mg", "quarantined_mg", "held_mg", "scale_division_mg", "metres_per100g_mean", "length_shared_sd", "length_own_variance", "closed_at" });
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropIndex(
                name: "ix_lot_colour_family_weight_class",
                table: "lot");

            migrationBuilder.CreateIndex(
                name: "ix_lot_colour_family_weight_class",
                table: "lot",
                columns: new[] { "colour_family", "weight_class" },
                filter: "closed_at is null");
        }
    }
}
