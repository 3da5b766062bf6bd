using System;
using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace GuildStash.Data.Migrations
{
    /// <inheritdoc />
    public partial class CountsAndScales : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AddColumn<Guid>(
                name: "count_id",
                table: "movement",
                type: "uuid",
                nullable: true);

            migrationBuilder.AddColumn<long>(
                name: "scale_division_mg",
                table: "movement",
                type: "bigint",
                nullable: true);

            migrationBuilder.AddColumn<bool>(
                name: "weighed_for_trade",
                table: "lot",
                type: "boolean",
                nullable: false,
                defaultValue: false);

            migrationBuilder.AddColumn<int>(
                name: "count_moisture_per_mille",
                table: "guild",
                type: "integer",
                nullable: false,
                defaultValue: 10);

            migrationBuilder.AddColumn<long>(
                name: "tare_division_mg",
                table: "bin",
                type: "bigint",
                nullable: true);

            migrationBuilder.AddColumn<long>(
                name: "tare_mg",
                table: "bin",
                type: "bigint",
                nullable: true);

            migrationBuilder.CreateTable(
                name: "scale",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    name = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: false),
                    division_mg = table.Column<long>(type: "bigint", nullable: false),
                    capacity_mg = table.Column<long>(type: "bigint", nullable: true),
                    is_verified = table.Column<bool>(type: "boolean", nullable: false),
                    notes = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: false),
                    retired_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    created_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    changed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    changed_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_scale", x => x.id);
                    table.CheckConstraint("scale_division_positive", "division_mg > 0 and (capacity_mg is null or capacity_mg > division_mg)");
                    table.ForeignKey(
                        name: "fk_scale_asp_net_users_created_by_id",
                        column: x => x.created_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "bin_count",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    bin_id = table.Column<Guid>(type: "uuid", nullable: false),
                    way = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    outcome = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    begun_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    begun_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    lapses_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    ended_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    ended_by_id = table.Column<Guid>(type: "uuid", nullable: true),
                    scale_id = table.Column<Guid>(type: "uuid", nullable: true),
                    scale_division_mg = table.Column<long>(type: "bigint", nullable: true),
                    gross_mg = table.Column<long>(type: "bigint", nullable: true),
                    tare_mg = table.Column<long>(type: "bigint", nullable: true),
                    lots = table.Column<int>(type: "integer", nullable: false),
                    book_mg = table.Column<long>(type: "bigint", nullable: true),
                    found_mg = table.Column<long>(type: "bigint", nullable: true),
                    tolerance_mg = table.Column<long>(type: "bigint", nullable: true),
                    book_variance = table.Column<double>(type: "double precision", nullable: true),
                    found_variance = table.Column<double>(type: "double precision", nullable: true),
                    counting_variance = table.Column<double>(type: "double precision", nullable: true),
                    approval_id = table.Column<Guid>(type: "uuid", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_bin_count", x => x.id);
                    table.CheckConstraint("bin_count_open_or_ended", "(outcome = 'Counting') = (ended_at is null) and (ended_by_id is null or ended_at is not null)");
                    table.CheckConstraint("bin_count_with_figures", "outcome in ('Counting', 'LeftOff', 'Lapsed') or (book_mg is not null and found_mg is not null and tolerance_mg is not null)");
                    table.ForeignKey(
                        name: "fk_bin_count_approval_approval_id",
                        column: x => x.approval_id,
                        principalTable: "approval",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_bin_count_asp_net_users_begun_by_id",
                        column: x => x.begun_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_bin_count_asp_net_users_ended_by_id",
                        column: x => x.ended_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_bin_count_bins_bin_id",
                        column: x => x.bin_id,
                        principalTable: "bin",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_bin_count_scales_scale_id",
                        column: x => x.scale_id,
                        principalTable: "scale",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "scale_check",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    scale_id = table.Column<Guid>(type: "uuid", nullable: false),
                    nominal_mg = table.Column<long>(type: "bigint", nullable: false),
                    shown_mg = table.Column<long>(type: "bigint", nullable: false),
                    division_mg = table.Column<long>(type: "bigint", nullable: false),
                    at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    by_id = table.Column<Guid>(type: "uuid", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_scale_check", x => x.id);
                    table.CheckConstraint("scale_check_masses", "nominal_mg > 0 and shown_mg >= 0 and division_mg > 0");
                    table.ForeignKey(
                        name: "fk_scale_check_asp_net_users_by_id",
                        column: x => x.by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_scale_check_scales_scale_id",
                        column: x => x.scale_id,
                        principalTable: "scale",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "bin_count_line",
                columns: table => new
                {
                    count_id = table.Column<Guid>(type: "uuid", nullable: false),
                    lot_id = table.Column<Guid>(type: "uuid", nullable: false),
                    found_mg = table.Column<long>(type: "bigint", nullable: false),
                    outcome = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    book_mg = table.Column<long>(type: "bigint", nullable: true),
                    tolerance_mg = table.Column<long>(type: "bigint", nullable: true),
                    book_variance = table.Column<double>(type: "double precision", nullable: true),
                    found_variance = table.Column<double>(type: "double precision", nullable: true),
                    counting_variance = table.Column<double>(type: "double precision", nullable: true),
                    drift_mg = table.Column<long>(type: "bigint", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_bin_count_line", x => new { x.count_id, x.lot_id });
                    table.CheckConstraint("bin_count_line_found", "found_mg >= 0");
                    table.ForeignKey(
                        name: "fk_bin_count_line_bin_count_count_id",
                        column: x => x.count_id,
                        principalTable: "bin_count",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_bin_count_line_lots_lot_id",
                        column: x => x.lot_id,
                        principalTable: "lot",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateIndex(
                name: "ix_movement_count_id",
                table: "movement",
                column: "count_id",
                filter: "count_id is not null");

            migrationBuilder.CreateIndex(
                name: "ix_bin_count_approval_id",
                table: "bin_count",
                column: "approval_id");

            migrationBuilder.CreateIndex(
                name: "ix_bin_count_begun_by_id",
                table: "bin_count",
                column: "begun_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_bin_count_bin_id",
                table: "bin_count",
                column: "bin_id",
                unique: true,
                filter: "ended_at is null");

            migrationBuilder.CreateIndex(
                name: "ix_bin_count_bin_id_begun_at",
                table: "bin_count",
                columns: new[] { "bin_id", "begun_at" },
                descending: new[] { false, true });

            migrationBuilder.CreateIndex(
                name: "ix_bin_count_ended_by_id",
                table: "bin_count",
                column: "ended_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_bin_count_scale_id",
                table: "bin_count",
                column: "scale_id");

            migrationBuilder.CreateIndex(
                name: "ix_bin_count_line_lot_id",
                table: "bin_count_line",
                column: "lot_id");

            migrationBuilder.CreateIndex(
                name: "ix_scale_created_by_id",
                table: "scale",
                column: "created_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_scale_name",
                table: "scale",
                column: "name",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_scale_check_by_id",
                table: "scale_check",
                column: "by_id");

            migrationBuilder.CreateIndex(
                name: "ix_scale_check_scale_id_at",
                table: "scale_check",
                columns: new[] { "scale_id", "at" });

            migrationBuilder.AddForeignKey(
                name: "fk_movement_bin_count_count_id",
                table: "movement",
                column: "count_id",
                principalTable: "bin_count",
                principalColumn: "id",
                onDelete: ReferentialAction.Restrict);
            migrationBuilder.Sql(Counting.CountTriggers.Create);
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.Sql(Counting.CountTriggers.Drop);
            migrationBuilder.DropForeignKey(
                name: "fk_movement_bin_count_count_id",
                table: "movement");

            migrationBuilder.DropTable(
                name: "bin_count_line");

            migrationBuilder.DropTable(
                name: "scale_check");

            migrationBuilder.DropTable(
                name: "bin_count");

            migrationBuilder.DropTable(
                name: "scale");

            migrationBuilder.DropIndex(
                name: "ix_movement_count_id",
                table: "movement");

            migrationBuilder.DropColumn(
                name: "count_id",
                table: "movement");

            migrationBuilder.DropColumn(
                name: "scale_division_mg",
                table: "movement");

            migrationBuilder.DropColumn(
                name: "weighed_for_trade",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "count_moisture_per_mille",
                table: "guild");

            migrationBuilder.DropColumn(
                name: "tare_division_mg",
                table: "bin");

            migrationBuilder.DropColumn(
                name: "tare_mg",
                table: "bin");
        }
    }
}
