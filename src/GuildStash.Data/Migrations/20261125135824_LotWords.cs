using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace GuildStash.Data.Migrations
{
    /// <inheritdoc />
    public partial class LotWords : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AlterDatabase()
                .Annotation("Npgsql:PostgresExtension:pg_trgm", ",,");

            migrationBuilder.AddColumn<string>(
                name: "words",
                table: "lot",
                type: "text",
                nullable: false,
                defaultValue: "");

            migrationBuilder.Sql(Stock.LotWords.Create);

            migrationBuilder.CreateIndex(
                name: "ix_lot_words",
                table: "lot",
                column: "words")
                .Annotation("Npgsql:IndexMethod", "gin")
                .Annotation("Npgsql:IndexOperators", new[] { "gin_trgm_ops" });
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropIndex(
                name: "ix_lot_words",
                table: "lot");

            migrationBuilder.Sql(Stock.LotWords.Drop);

            migrationBuilder.DropColumn(
                name: "words",
                table: "lot");

            migrationBuilder.AlterDatabase()
                .OldAnnotation("Npgsql:PostgresExtension:pg_trgm", ",,");
        }
    }
}
