using System;
using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace GuildStash.Data.Migrations
{
    /// <inheritdoc />
    public partial class SecondPerson : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AddColumn<Guid>(
                name: "approval_id",
                table: "movement",
                type: "uuid",
                nullable: true);

            migrationBuilder.AddColumn<int>(
                name: "delayed_review_hours",
                table: "guild",
                type: "integer",
                nullable: false,
                defaultValue: 72);

            migrationBuilder.AddColumn<bool>(
                name: "delayed_review_is_on",
                table: "guild",
                type: "boolean",
                nullable: false,
                defaultValue: false);

            migrationBuilder.AddColumn<long>(
                name: "second_person_from",
                table: "guild",
                type: "bigint",
                nullable: false,
                defaultValue: 0L);

            migrationBuilder.CreateTable(
                name: "approval",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    kind = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    state = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    payload = table.Column<string>(type: "jsonb", nullable: false),
                    subject = table.Column<string>(type: "character varying(60)", maxLength: 60, nullable: false),
                    mg = table.Column<long>(type: "bigint", nullable: false),
                    bag_id = table.Column<Guid>(type: "uuid", nullable: true),
                    bin_id = table.Column<Guid>(type: "uuid", nullable: true),
                    asked_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    asked_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    asked_as = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    decided_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    decided_by_id = table.Column<Guid>(type: "uuid", nullable: true),
                    decision_note = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: false),
                    review_after_hours = table.Column<int>(type: "integer", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_approval", x => x.id);
                    table.CheckConstraint("approval_declined_with_reason", "state <> 'Declined' or decision_note <> ''");
                    table.CheckConstraint("approval_delayed_review_waited", "review_after_hours is null or (state = 'Approved' and decided_by_id = asked_by_id and review_after_hours >= 1 and decided_at >= asked_at + review_after_hours * interval '1 hour')");
                    table.CheckConstraint("approval_second_person_is_another", "decided_by_id is null or state = 'Withdrawn' or decided_by_id <> asked_by_id or review_after_hours is not null");
                    table.CheckConstraint("approval_settled_by_somebody", "(state = 'Waiting') = (decided_at is null) and (state = 'Waiting') = (decided_by_id is null)");
                    table.CheckConstraint("approval_withdrawn_by_asker", "state <> 'Withdrawn' or decided_by_id = asked_by_id");
                    table.ForeignKey(
                        name: "fk_approval_asp_net_users_asked_by_id",
                        column: x => x.asked_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_approval_asp_net_users_decided_by_id",
                        column: x => x.decided_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_approval_bags_bag_id",
                        column: x => x.bag_id,
                        principalTable: "bag",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_approval_bins_bin_id",
                        column: x => x.bin_id,
                        principalTable: "bin",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "approval_lot",
                columns: table => new
                {
                    approval_id = table.Column<Guid>(type: "uuid", nullable: false),
                    lot_id = table.Column<Guid>(type: "uuid", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_approval_lot", x => new { x.approval_id, x.lot_id });
                    table.ForeignKey(
                        name: "fk_approval_lot_approval_approval_id",
                        column: x => x.approval_id,
                        principalTable: "approval",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_approval_lot_lots_lot_id",
                        column: x => x.lot_id,
                        principalTable: "lot",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateIndex(
                name: "ix_movement_approval_id",
                table: "movement",
                column: "approval_id",
                filter: "approval_id is not null");

            migrationBuilder.AddCheckConstraint(
                name: "guild_delayed_review_hours",
                table: "guild",
                sql: "delayed_review_hours between 1 and 720");

            migrationBuilder.CreateIndex(
                name: "ix_approval_asked_at",
                table: "approval",
                column: "asked_at",
                filter: "state = 'Waiting'");

            migrationBuilder.CreateIndex(
                name: "ix_approval_asked_by_id",
                table: "approval",
                column: "asked_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_approval_bag_id_kind",
                table: "approval",
                columns: new[] { "bag_id", "kind" },
                unique: true,
                filter: "state = 'Waiting' and bag_id is not null");

            migrationBuilder.CreateIndex(
                name: "ix_approval_bin_id",
                table: "approval",
                column: "bin_id");

            migrationBuilder.CreateIndex(
                name: "ix_approval_decided_at_id",
                table: "approval",
                columns: new[] { "decided_at", "id" },
                descending: new bool[0]);

            migrationBuilder.CreateIndex(
                name: "ix_approval_decided_by_id",
                table: "approval",
                column: "decided_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_approval_lot_lot_id",
                table: "approval_lot",
                column: "lot_id");

            migrationBuilder.AddForeignKey(
                name: "fk_movement_approval_approval_id",
                table: "movement",
                column: "approval_id",
                principalTable: "approval",
                principalColumn: "id",
                onDelete: ReferentialAction.Restrict);

            migrationBuilder.Sql(Approvals.ApprovalTriggers.Create);
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.Sql(Approvals.ApprovalTriggers.Drop);

            migrationBuilder.DropForeignKey(
                name: "fk_movement_approval_approval_id",
                table: "movement");

            migrationBuilder.DropTable(
                name: "approval_lot");

            migrationBuilder.DropTable(
                name: "approval");

            migrationBuilder.DropIndex(
                name: "ix_movement_approval_id",
                table: "movement");

            migrationBuilder.DropCheckConstraint(
                name: "guild_delayed_review_hours",
                table: "guild");

            migrationBuilder.DropColumn(
                name: "approval_id",
                table: "movement");

            migrationBuilder.DropColumn(
                name: "delayed_review_hours",
                table: "guild");

            migrationBuilder.DropColumn(
                name: "delayed_review_is_on",
                table: "guild");

            migrationBuilder.DropColumn(
                name: "second_person_from",
                table: "guild");
        }
    }
}
