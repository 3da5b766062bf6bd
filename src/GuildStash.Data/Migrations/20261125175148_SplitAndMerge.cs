using System;
using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace GuildStash.Data.Migrations
{
    /// <inheritdoc />
    public partial class SplitAndMerge : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AddColumn<Guid>(
                name: "merged_into_id",
                table: "lot",
                type: "uuid",
                nullable: true);

            migrationBuilder.CreateTable(
                name: "lot_transfer",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    kind = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    from_lot_id = table.Column<Guid>(type: "uuid", nullable: false),
                    to_lot_id = table.Column<Guid>(type: "uuid", nullable: false),
                    mg = table.Column<long>(type: "bigint", nullable: false),
                    balls = table.Column<int>(type: "integer", nullable: false),
                    undoes_id = table.Column<Guid>(type: "uuid", nullable: true),
                    approval_id = table.Column<Guid>(type: "uuid", nullable: true),
                    at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    by_id = table.Column<Guid>(type: "uuid", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_lot_transfer", x => x.id);
                    table.CheckConstraint("lot_transfer_between_two_lots", "from_lot_id <> to_lot_id");
                    table.CheckConstraint("lot_transfer_mass_positive", "mg > 0");
                    table.CheckConstraint("lot_transfer_merge_is_approved", "(kind = 'Merge') = (approval_id is not null)");
                    table.CheckConstraint("lot_transfer_undoes_a_split", "(kind = 'SplitUndone') = (undoes_id is not null)");
                    table.ForeignKey(
                        name: "fk_lot_transfer_approval_approval_id",
                        column: x => x.approval_id,
                        principalTable: "approval",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_lot_transfer_asp_net_users_by_id",
                        column: x => x.by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_lot_transfer_lot_transfer_undoes_id",
                        column: x => x.undoes_id,
                        principalTable: "lot_transfer",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_lot_transfer_lots_from_lot_id",
                        column: x => x.from_lot_id,
                        principalTable: "lot",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_lot_transfer_lots_to_lot_id",
                        column: x => x.to_lot_id,
                        principalTable: "lot",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateIndex(
                name: "ix_lot_merged_into_id",
                table: "lot",
                column: "merged_into_id",
                filter: "merged_into_id is not null");

            migrationBuilder.AddCheckConstraint(
                name: "lot_merged_is_closed",
                table: "lot",
                sql: "merged_into_id is null or (closed_at is not null and merged_into_id <> id)");

            migrationBuilder.CreateIndex(
                name: "ix_lot_transfer_approval_id",
                table: "lot_transfer",
                column: "approval_id");

            migrationBuilder.CreateIndex(
                name: "ix_lot_transfer_by_id",
                table: "lot_transfer",
                column: "by_id");

            migrationBuilder.CreateIndex(
                name: "ix_lot_transfer_from_lot_id",
                table: "lot_transfer",
                column: "from_lot_id");

            migrationBuilder.CreateIndex(
                name: "ix_lot_transfer_to_lot_id",
                table: "lot_transfer",
                column: "to_lot_id");

            migrationBuilder.CreateIndex(
                name: "ix_lot_transfer_undoes_id",
                table: "lot_transfer",
                column: "undoes_id",
                unique: true,
                filter: "undoes_id is not null");

            migrationBuilder.AddForeignKey(
                name: "fk_lot_lot_merged_into_id",
                table: "lot",
                column: "merged_into_id",
                principalTable: "lot",
                principalColumn: "id",
                onDelete: ReferentialAction.Restrict);

            migrationBuilder.Sql(Ledger.RelotTriggers.Create);
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.Sql(Ledger.RelotTriggers.Drop);

            migrationBuilder.DropForeignKey(
                name: "fk_lot_lot_merged_into_id",
                table: "lot");

            migrationBuilder.DropTable(
                name: "lot_transfer");

            migrationBuilder.DropIndex(
                name: "ix_lot_merged_into_id",
                table: "lot");

            migrationBuilder.DropCheckConstraint(
                name: "lot_merged_is_closed",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "merged_into_id",
                table: "lot");
        }
    }
}
