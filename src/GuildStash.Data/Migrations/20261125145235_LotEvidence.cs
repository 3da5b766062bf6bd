using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace GuildStash.Data.Migrations
{
    /// <inheritdoc />
    public partial class LotEvidence : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AddColumn<decimal>(
                name: "gauge_cm",
                table: "lot",
                type: "numeric",
                nullable: true);

            migrationBuilder.AddColumn<decimal>(
                name: "gauge_stitches",
                table: "lot",
                type: "numeric",
                nullable: true);

            migrationBuilder.AddColumn<double>(
                name: "length_own_variance",
                table: "lot",
                type: "double precision",
                nullable: true);

            migrationBuilder.AddColumn<double>(
                name: "length_shared_sd",
                table: "lot",
                type: "double precision",
                nullable: true);

            migrationBuilder.AddColumn<double>(
                name: "metres_per100g_mean",
                table: "lot",
                type: "double precision",
                nullable: true);

            migrationBuilder.AddColumn<long>(
                name: "sample_division_mg",
                table: "lot",
                type: "bigint",
                nullable: true);

            migrationBuilder.AddColumn<double>(
                name: "sample_metres",
                table: "lot",
                type: "double precision",
                nullable: true);

            migrationBuilder.AddColumn<long>(
                name: "sample_mg",
                table: "lot",
                type: "bigint",
                nullable: true);

            migrationBuilder.AddColumn<string>(
                name: "yarn_count",
                table: "lot",
                type: "character varying(40)",
                maxLength: 40,
                nullable: false,
                defaultValue: "");
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropColumn(
                name: "gauge_cm",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "gauge_stitches",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "length_own_variance",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "length_shared_sd",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "metres_per100g_mean",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "sample_division_mg",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "sample_metres",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "sample_mg",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "yarn_count",
                table: "lot");
        }
    }
}
