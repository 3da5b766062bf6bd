using System;
using System.Collections.Generic;
using Microsoft.EntityFrameworkCore.Migrations;
using Npgsql.EntityFrameworkCore.PostgreSQL.Metadata;

#nullable disable

namespace GuildStash.Data.Migrations
{
    /// <inheritdoc />
    public partial class GuildYardage : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AddColumn<int>(
                name: "yardage_edition",
                table: "lot",
                type: "integer",
                nullable: false,
                defaultValue: 0);

            migrationBuilder.CreateTable(
                name: "weight_class_table",
                columns: table => new
                {
                    id = table.Column<int>(type: "integer", nullable: false)
                        .Annotation("Npgsql:ValueGenerationStrategy", NpgsqlValueGenerationStrategy.IdentityByDefaultColumn),
                    name = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    is_standard = table.Column<bool>(type: "boolean", nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    created_by_id = table.Column<Guid>(type: "uuid", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_weight_class_table", x => x.id);
                    table.ForeignKey(
                        name: "fk_weight_class_table_asp_net_users_created_by_id",
                        column: x => x.created_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "yardage",
                columns: table => new
                {
                    id = table.Column<int>(type: "integer", nullable: false),
                    use_learnt = table.Column<bool>(type: "boolean", nullable: false),
                    learnt_for_names = table.Column<bool>(type: "boolean", nullable: false),
                    learn_since = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    strands = table.Column<List<string>>(type: "text[]", nullable: false),
                    animal_regain = table.Column<decimal>(type: "numeric", nullable: true),
                    plant_regain = table.Column<decimal>(type: "numeric", nullable: true),
                    synthetic_regain = table.Column<decimal>(type: "numeric", nullable: true),
                    version = table.Column<int>(type: "integer", nullable: false),
                    changed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    changed_by_id = table.Column<Guid>(type: "uuid", nullable: true),
                    stamp = table.Column<long>(type: "bigint", nullable: false),
                    edition = table.Column<int>(type: "integer", nullable: false),
                    learnt_table = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    learnt_sums = table.Column<List<double>>(type: "double precision[]", nullable: false),
                    edition_sums = table.Column<List<double>>(type: "double precision[]", nullable: false),
                    learnt_lots = table.Column<int>(type: "integer", nullable: false),
                    learnt_up_to = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_yardage", x => x.id);
                    table.CheckConstraint("yardage_is_one", "id = 1");
                });

            migrationBuilder.CreateTable(
                name: "weight_class_row",
                columns: table => new
                {
                    table_id = table.Column<int>(type: "integer", nullable: false),
                    weight_class = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    metres_per100g_low = table.Column<double>(type: "double precision", nullable: false),
                    metres_per100g_high = table.Column<double>(type: "double precision", nullable: false),
                    wraps_above = table.Column<double>(type: "double precision", nullable: false),
                    wraps_up_to = table.Column<double>(type: "double precision", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_weight_class_row", x => new { x.table_id, x.weight_class });
                    table.ForeignKey(
                        name: "fk_weight_class_row_weight_class_table_table_id",
                        column: x => x.table_id,
                        principalTable: "weight_class_table",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.Sql(Guild.YardageSettings.Create);

            migrationBuilder.CreateIndex(
                name: "ix_weight_class_table_created_by_id",
                table: "weight_class_table",
                column: "created_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_weight_class_table_name",
                table: "weight_class_table",
                column: "name",
                unique: true,
                filter: "not is_standard");
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropTable(
                name: "weight_class_row");

            migrationBuilder.DropTable(
                name: "yardage");

            migrationBuilder.DropTable(
                name: "weight_class_table");

            migrationBuilder.DropColumn(
                name: "yardage_edition",
                table: "lot");
        }
    }
}
