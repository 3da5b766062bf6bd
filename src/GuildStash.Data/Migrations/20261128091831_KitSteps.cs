using System;
using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace GuildStash.Data.Migrations
{
    /// <inheritdoc />
    public partial class KitSteps : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AddColumn<DateTimeOffset>(
                name: "picked_at",
                table: "kit_line",
                type: "timestamp with time zone",
                nullable: true);

            migrationBuilder.AddColumn<Guid>(
                name: "picked_by_id",
                table: "kit_line",
                type: "uuid",
                nullable: true);

            migrationBuilder.AddColumn<DateTimeOffset>(
                name: "given_at",
                table: "kit",
                type: "timestamp with time zone",
                nullable: true);

            migrationBuilder.AddColumn<string>(
                name: "release_reason",
                table: "kit",
                type: "character varying(500)",
                maxLength: 500,
                nullable: false,
                defaultValue: "");

            migrationBuilder.AddColumn<DateTimeOffset>(
                name: "released_at",
                table: "kit",
                type: "timestamp with time zone",
                nullable: true);

            migrationBuilder.AddColumn<Guid>(
                name: "released_by_id",
                table: "kit",
                type: "uuid",
                nullable: true);

            migrationBuilder.CreateIndex(
                name: "ix_kit_line_picked_by_id",
                table: "kit_line",
                column: "picked_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_kit_released_by_id",
                table: "kit",
                column: "released_by_id");

            migrationBuilder.AddCheckConstraint(
                name: "kit_released",
                table: "kit",
                sql: "(released_at is null) = (released_by_id is null)");

            migrationBuilder.AddForeignKey(
                name: "fk_kit_person_released_by_id",
                table: "kit",
                column: "released_by_id",
                principalTable: "person",
                principalColumn: "id",
                onDelete: ReferentialAction.Restrict);

            migrationBuilder.AddForeignKey(
                name: "fk_kit_line_person_picked_by_id",
                table: "kit_line",
                column: "picked_by_id",
                principalTable: "person",
                principalColumn: "id",
                onDelete: ReferentialAction.Restrict);
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropForeignKey(
                name: "fk_kit_person_released_by_id",
                table: "kit");

            migrationBuilder.DropForeignKey(
                name: "fk_kit_line_person_picked_by_id",
                table: "kit_line");

            migrationBuilder.DropIndex(
                name: "ix_kit_line_picked_by_id",
                table: "kit_line");

            migrationBuilder.DropIndex(
                name: "ix_kit_released_by_id",
                table: "kit");

            migrationBuilder.DropCheckConstraint(
                name: "kit_released",
                table: "kit");

            migrationBuilder.DropColumn(
                name: "picked_at",
                table: "kit_line");

            migrationBuilder.DropColumn(
                name: "picked_by_id",
                table: "kit_line");

            migrationBuilder.DropColumn(
                name: "given_at",
                table: "kit");

            migrationBuilder.DropColumn(
                name: "release_reason",
                table: "kit");

            migrationBuilder.DropColumn(
                name: "released_at",
                table: "kit");

            migrationBuilder.DropColumn(
                name: "released_by_id",
                table: "kit");
        }
    }
}
