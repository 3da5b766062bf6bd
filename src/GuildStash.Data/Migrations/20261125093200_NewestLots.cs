using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace GuildStash.Data.Migrations
{
    /// <inheritdoc />
    public partial class NewestLots : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.CreateIndex(
                name: "ix_lot_created_at_id",
                table: "lot",
                columns: new[] { "created_at", "id" },
                descending: new bool[0],
                filter: "closed_at is null");
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropIndex(
                name: "ix_lot_created_at_id",
                table: "lot");
        }
    }
}
