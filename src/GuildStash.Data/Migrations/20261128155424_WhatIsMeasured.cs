using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace GuildStash.Data.Migrations
{
    /// <inheritdoc />
    public partial class WhatIsMeasured : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AddColumn<decimal>(
                name: "scale_error_percent",
                table: "yardage",
                type: "numeric",
                nullable: false,
                defaultValue: 0m);

            migrationBuilder.AddColumn<decimal>(
                name: "shared_part",
                table: "yardage",
                type: "numeric",
                nullable: false,
                defaultValue: 0.5m);

            migrationBuilder.AddColumn<bool>(
                name: "count_is_resultant",
                table: "lot",
                type: "boolean",
                nullable: false,
                defaultValue: false);

            migrationBuilder.AddColumn<long>(
                name: "loose_mg",
                table: "lot",
                type: "bigint",
                nullable: true);

            migrationBuilder.AddColumn<int>(
                name: "max_celsius",
                table: "lot",
                type: "integer",
                nullable: true);

            migrationBuilder.AddColumn<double>(
                name: "named_metres_per100g",
                table: "lot",
                type: "double precision",
                nullable: true);

            migrationBuilder.AddColumn<double>(
                name: "sample_error_metres",
                table: "lot",
                type: "double precision",
                nullable: true);

            migrationBuilder.AddColumn<bool>(
                name: "sample_is_difference",
                table: "lot",
                type: "boolean",
                nullable: false,
                defaultValue: false);

            migrationBuilder.AddColumn<long>(
                name: "sealed_mg",
                table: "lot",
                type: "bigint",
                nullable: true);
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropColumn(
                name: "scale_error_percent",
                table: "yardage");

            migrationBuilder.DropColumn(
                name: "shared_part",
                table: "yardage");

            migrationBuilder.DropColumn(
                name: "count_is_resultant",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "loose_mg",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "max_celsius",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "named_metres_per100g",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "sample_error_metres",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "sample_is_difference",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "sealed_mg",
                table: "lot");
        }
    }
}
