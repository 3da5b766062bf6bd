using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace GuildStash.Data.Migrations
{
    /// <inheritdoc />
    public partial class LotLengths : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropIndex(
                name: "ix_lot_colour_family_weight_class",
                table: "lot");

            // One statement, since each rewrites the table.
            migrationBuilder.Sql(
                """
                alter table lot
                    add column free_metres double precision not null generated always as (coalesce(metres_per100g_mean * (on_hand_mg - quarantined_mg - held_mg)::double precision / 100000.0, 0)) stored,
                    add column free_metres_by_low double precision not null generated always as (case when mass_known then coalesce(metres_per100g_low * (on_hand_mg - quarantined_mg - held_mg)::double precision / 100000.0, 0) else 0 end) stored,
                    add column free_metres_low double precision not null generated always as (coalesce(metres_per100g_likely * (on_hand_mg - quarantined_mg - held_mg)::double precision / 100000.0 * exp(-least(700, sqrt(power(ln(metres_per100g_likely / metres_per100g_low), 2) + power(case when (on_hand_mg - quarantined_mg - held_mg) = 0 then 0 else coalesce(0.67150868126622321 * scale_division_mg::double precision / (on_hand_mg - quarantined_mg - held_mg)::double precision, 0) end, 2)))), 0)) stored,
                    add column free_own_variance double precision not null generated always as (coalesce((metres_per100g_mean * (on_hand_mg - quarantined_mg - held_mg)::double precision / 100000.0) * (metres_per100g_mean * (on_hand_mg - quarantined_mg - held_mg)::double precision / 100000.0) * length_own_variance, 0) + case when (on_hand_mg - quarantined_mg - held_mg) = 0 then 0 else coalesce(power(metres_per100g_mean * scale_division_mg::double precision / 100000.0, 2) / 6, 0) end) stored,
                    add column shelf_metres double precision not null generated always as (coalesce(metres_per100g_mean * (on_hand_mg - quarantined_mg)::double precision / 100000.0, 0)) stored,
                    add column shelf_metres_low double precision not null generated always as (coalesce(metres_per100g_likely * (on_hand_mg - quarantined_mg)::double precision / 100000.0 * exp(-least(700, sqrt(power(ln(metres_per100g_likely / metres_per100g_low), 2) + power(case when (on_hand_mg - quarantined_mg) = 0 then 0 else coalesce(0.67150868126622321 * scale_division_mg::double precision / (on_hand_mg - quarantined_mg)::double precision, 0) end, 2)))), 0)) stored,
                    add column shelf_own_variance double precision not null generated always as (coalesce((metres_per100g_mean * (on_hand_mg - quarantined_mg)::double precision / 100000.0) * (metres_per100g_mean * (on_hand_mg - quarantined_mg)::double precision / 100000.0) * length_own_variance, 0) + case when (on_hand_mg - quarantined_mg) = 0 then 0 else coalesce(power(metres_per100g_mean * scale_division_mg::double precision / 100000.0, 2) / 6, 0) end) stored;
                """);

            migrationBuilder.CreateIndex(
                name: "ix_lot_colour_family_weight_class",
                table: "lot",
                columns: new[] { "colour_family", "weight_class" },
                filter: "closed_at is null")
                .Annotation("Npgsql:IndexInclude", new[] { "quarantine_reason", "mass_known", "on_hand_mg", "quarantined_mg", "held_mg", "length_shared_sd", "length_own_variance", "shelf_metres", "shelf_own_variance", "free_metres", "free_own_variance" });

            migrationBuilder.CreateIndex(
                name: "ix_lot_colour_family_weight_class_free_metres_low_code",
                table: "lot",
                columns: new[] { "colour_family", "weight_class", "free_metres_low", "code" },
                descending: new[] { false, false, true, false },
                filter: "closed_at is null")
                .Annotation("Npgsql:IndexInclude", new[] { "id", "colour_hex", "quarantine_reason", "mass_known", "on_hand_mg", "quarantined_mg", "held_mg", "metres_per100g_low" });

            migrationBuilder.CreateIndex(
                name: "ix_lot_colour_family_weight_class_shelf_metres_low_code",
                table: "lot",
                columns: new[] { "colour_family", "weight_class", "shelf_metres_low", "code" },
                descending: new[] { false, false, true, false },
                filter: "closed_at is null")
                .Annotation("Npgsql:IndexInclude", new[] { "id", "colour_hex", "quarantine_reason", "mass_known", "on_hand_mg", "quarantined_mg", "metres_per100g_low" });

            migrationBuilder.CreateIndex(
                name: "ix_lot_free_metres_by_low_id",
                table: "lot",
                columns: new[] { "free_metres_by_low", "id" },
                descending: new[] { true, false },
                filter: "closed_at is null")
                .Annotation("Npgsql:IndexInclude", new[] { "machine_washable", "fibre_codes", "colour_family", "weight_class" });

            migrationBuilder.CreateIndex(
                name: "ix_lot_set_apart",
                table: "lot",
                column: "id",
                filter: "closed_at is null and (held_mg > 0 or quarantined_mg > 0 or quarantine_reason is not null or not mass_known)")
                .Annotation("Npgsql:IndexInclude", new[] { "held_mg", "quarantined_mg", "quarantine_reason", "mass_known" });
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropIndex(
                name: "ix_lot_colour_family_weight_class",
                table: "lot");

            migrationBuilder.DropIndex(
                name: "ix_lot_colour_family_weight_class_free_metres_low_code",
                table: "lot");

            migrationBuilder.DropIndex(
                name: "ix_lot_colour_family_weight_class_shelf_metres_low_code",
                table: "lot");

            migrationBuilder.DropIndex(
                name: "ix_lot_free_metres_by_low_id",
                table: "lot");

            migrationBuilder.DropIndex(
                name: "ix_lot_set_apart",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "free_metres",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "free_metres_by_low",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "free_metres_low",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "free_own_variance",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "shelf_metres",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "shelf_metres_low",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "shelf_own_variance",
                table: "lot");

            migrationBuilder.CreateIndex(
                name: "ix_lot_colour_family_weight_class",
                table: "lot",
                columns: new[] { "colour_family", "weight_class" },
                filter: "closed_at is null")
                .Annotation("Npgsql:IndexInclude", new[] { "quarantine_reason", "mass_known", "on_hand_mg", "quarantined_mg", "held_mg", "scale_division_mg", "metres_per100g_mean", "length_shared_sd", "length_own_variance", "closed_at" });
        }
    }
}
