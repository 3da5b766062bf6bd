using System;
using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace GuildStash.Data.Migrations
{
    /// <inheritdoc />
    public partial class SecondPersonAndQuarantine : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AddColumn<Guid>(
                name: "approval_id",
                table: "movement",
                type: "uuid",
                nullable: true);

            migrationBuilder.AddColumn<DateTimeOffset>(
                name: "quarantined_at",
                table: "lot",
                type: "timestamp with time zone",
                nullable: true);

            migrationBuilder.AddColumn<int>(
                name: "apart_days",
                table: "guild",
                type: "integer",
                nullable: false,
                defaultValue: 30);

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

            migrationBuilder.AddColumn<int>(
                name: "freezer_cycles",
                table: "guild",
                type: "integer",
                nullable: false,
                defaultValue: 1);

            migrationBuilder.AddColumn<int>(
                name: "freezer_days",
                table: "guild",
                type: "integer",
                nullable: false,
                defaultValue: 7);

            migrationBuilder.AddColumn<decimal>(
                name: "freezer_max_celsius",
                table: "guild",
                type: "numeric(5,1)",
                precision: 5,
                scale: 1,
                nullable: false,
                defaultValue: -20m);

            migrationBuilder.AddColumn<string>(
                name: "freezer_source",
                table: "guild",
                type: "character varying(300)",
                maxLength: 300,
                nullable: false,
                defaultValue: "Museum practice: National Park Service, Conserve O Gram 3/6 (1994)");

            migrationBuilder.AddColumn<long>(
                name: "second_person_from",
                table: "guild",
                type: "bigint",
                nullable: false,
                defaultValue: 0L);

            migrationBuilder.AddColumn<DateTimeOffset>(
                name: "quarantined_at",
                table: "bag",
                type: "timestamp with time zone",
                nullable: true);

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
                name: "freezer_run",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    freezer = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: false),
                    in_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    started_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    out_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    coldest_celsius = table.Column<decimal>(type: "numeric(5,1)", precision: 5, scale: 1, nullable: true),
                    warmest_celsius = table.Column<decimal>(type: "numeric(5,1)", precision: 5, scale: 1, nullable: true),
                    opened = table.Column<bool>(type: "boolean", nullable: false),
                    thawed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    finished_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    finished_by_id = table.Column<Guid>(type: "uuid", nullable: true),
                    result = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: false),
                    signs_seen = table.Column<bool>(type: "boolean", nullable: false),
                    meets_protocol = table.Column<bool>(type: "boolean", nullable: true),
                    protocol_max_celsius = table.Column<decimal>(type: "numeric(5,1)", precision: 5, scale: 1, nullable: true),
                    protocol_days = table.Column<int>(type: "integer", nullable: true),
                    protocol_source = table.Column<string>(type: "character varying(300)", maxLength: 300, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_freezer_run", x => x.id);
                    table.CheckConstraint("freezer_run_finished_whole", "(finished_at is null) = (finished_by_id is null) and (finished_at is null) = (meets_protocol is null) and (finished_at is null or (out_at is not null and result <> ''))");
                    table.CheckConstraint("freezer_run_meets_what_it_says", "meets_protocol is null or not meets_protocol or (warmest_celsius is not null and protocol_max_celsius is not null and protocol_days is not null and warmest_celsius <= protocol_max_celsius and not opened and thawed_at is not null and out_at >= in_at + protocol_days * interval '24 hours')");
                    table.CheckConstraint("freezer_run_out_after_in", "out_at is null or out_at > in_at");
                    table.ForeignKey(
                        name: "fk_freezer_run_person_finished_by_id",
                        column: x => x.finished_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_freezer_run_person_started_by_id",
                        column: x => x.started_by_id,
                        principalTable: "person",
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

            migrationBuilder.CreateTable(
                name: "freezer_load",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    run_id = table.Column<Guid>(type: "uuid", nullable: false),
                    bag_id = table.Column<Guid>(type: "uuid", nullable: true),
                    lot_id = table.Column<Guid>(type: "uuid", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_freezer_load", x => x.id);
                    table.CheckConstraint("freezer_load_is_one_thing", "(bag_id is null) <> (lot_id is null)");
                    table.ForeignKey(
                        name: "fk_freezer_load_bag_bag_id",
                        column: x => x.bag_id,
                        principalTable: "bag",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_freezer_load_freezer_runs_run_id",
                        column: x => x.run_id,
                        principalTable: "freezer_run",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_freezer_load_lots_lot_id",
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

            migrationBuilder.CreateIndex(
                name: "ix_freezer_load_bag_id",
                table: "freezer_load",
                column: "bag_id");

            migrationBuilder.CreateIndex(
                name: "ix_freezer_load_lot_id",
                table: "freezer_load",
                column: "lot_id");

            migrationBuilder.CreateIndex(
                name: "ix_freezer_load_run_id_bag_id_lot_id",
                table: "freezer_load",
                columns: new[] { "run_id", "bag_id", "lot_id" },
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_freezer_run_finished_by_id",
                table: "freezer_run",
                column: "finished_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_freezer_run_in_at",
                table: "freezer_run",
                column: "in_at",
                descending: new bool[0]);

            migrationBuilder.CreateIndex(
                name: "ix_freezer_run_started_by_id",
                table: "freezer_run",
                column: "started_by_id");

            migrationBuilder.AddForeignKey(
                name: "fk_movement_approval_approval_id",
                table: "movement",
                column: "approval_id",
                principalTable: "approval",
                principalColumn: "id",
                onDelete: ReferentialAction.Restrict);

            migrationBuilder.Sql(Approvals.ApprovalTriggers.Create);
            migrationBuilder.Sql(Quarantine.QuarantineTriggers.Create);
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.Sql(Approvals.ApprovalTriggers.Drop);
            migrationBuilder.Sql(Quarantine.QuarantineTriggers.Drop);

            migrationBuilder.DropForeignKey(
                name: "fk_movement_approval_approval_id",
                table: "movement");

            migrationBuilder.DropTable(
                name: "approval_lot");

            migrationBuilder.DropTable(
                name: "freezer_load");

            migrationBuilder.DropTable(
                name: "approval");

            migrationBuilder.DropTable(
                name: "freezer_run");

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
                name: "quarantined_at",
                table: "lot");

            migrationBuilder.DropColumn(
                name: "apart_days",
                table: "guild");

            migrationBuilder.DropColumn(
                name: "delayed_review_hours",
                table: "guild");

            migrationBuilder.DropColumn(
                name: "delayed_review_is_on",
                table: "guild");

            migrationBuilder.DropColumn(
                name: "freezer_cycles",
                table: "guild");

            migrationBuilder.DropColumn(
                name: "freezer_days",
                table: "guild");

            migrationBuilder.DropColumn(
                name: "freezer_max_celsius",
                table: "guild");

            migrationBuilder.DropColumn(
                name: "freezer_source",
                table: "guild");

            migrationBuilder.DropColumn(
                name: "second_person_from",
                table: "guild");

            migrationBuilder.DropColumn(
                name: "quarantined_at",
                table: "bag");
        }
    }
}
