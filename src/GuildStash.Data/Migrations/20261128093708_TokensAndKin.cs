using System;
using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace GuildStash.Data.Migrations
{
    /// <inheritdoc />
    public partial class TokensAndKin : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AddColumn<long>(
                name: "second_person_together_from",
                table: "guild",
                type: "bigint",
                nullable: false,
                defaultValue: 0L);

            migrationBuilder.AddColumn<DateTimeOffset>(
                name: "last_used_at",
                table: "api_token",
                type: "timestamp with time zone",
                nullable: true);

            migrationBuilder.AddColumn<string>(
                name: "scope",
                table: "api_token",
                type: "character varying(32)",
                maxLength: 32,
                nullable: false,
                defaultValue: "Write");

            // What was booked before counted lot by lot.
            migrationBuilder.Sql("update guild set second_person_together_from = coalesce((select max(sequence) from movement), 0);");
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropColumn(
                name: "second_person_together_from",
                table: "guild");

            migrationBuilder.DropColumn(
                name: "last_used_at",
                table: "api_token");

            migrationBuilder.DropColumn(
                name: "scope",
                table: "api_token");
        }
    }
}
