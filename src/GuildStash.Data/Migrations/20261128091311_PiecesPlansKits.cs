using System;
using System.Collections.Generic;
using Microsoft.EntityFrameworkCore.Migrations;
using Npgsql.EntityFrameworkCore.PostgreSQL.Metadata;

#nullable disable

namespace GuildStash.Data.Migrations
{
    /// <inheritdoc />
    public partial class PiecesPlansKits : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AddColumn<Guid>(
                name: "piece_id",
                table: "wanted_piece",
                type: "uuid",
                nullable: true);

            migrationBuilder.AddColumn<int>(
                name: "priority",
                table: "wanted_piece",
                type: "integer",
                nullable: false,
                defaultValue: 1);

            migrationBuilder.AddColumn<string>(
                name: "public_name",
                table: "project",
                type: "character varying(60)",
                maxLength: 60,
                nullable: true);

            migrationBuilder.AddColumn<int>(
                name: "plan_safety_percent",
                table: "guild",
                type: "integer",
                nullable: false,
                defaultValue: 95);

            migrationBuilder.AddColumn<bool>(
                name: "wanted_is_public",
                table: "guild",
                type: "boolean",
                nullable: false,
                defaultValue: false);

            migrationBuilder.CreateTable(
                name: "piece",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    name = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: false),
                    craft = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    for_infants = table.Column<bool>(type: "boolean", nullable: false),
                    minutes = table.Column<int>(type: "integer", nullable: true),
                    notes = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: false),
                    retired_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    created_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    changed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    changed_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_piece", x => x.id);
                    table.CheckConstraint("piece_minutes", "minutes is null or minutes > 0");
                    table.ForeignKey(
                        name: "fk_piece_person_created_by_id",
                        column: x => x.created_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "piece_size_table",
                columns: table => new
                {
                    id = table.Column<int>(type: "integer", nullable: false)
                        .Annotation("Npgsql:ValueGenerationStrategy", NpgsqlValueGenerationStrategy.IdentityByDefaultColumn),
                    lines = table.Column<string>(type: "text", nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    created_by_id = table.Column<Guid>(type: "uuid", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_piece_size_table", x => x.id);
                    table.ForeignKey(
                        name: "fk_piece_size_table_person_created_by_id",
                        column: x => x.created_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "plan",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    number = table.Column<string>(type: "character varying(20)", maxLength: 20, nullable: false),
                    name = table.Column<string>(type: "character varying(150)", maxLength: 150, nullable: false),
                    purpose = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    basis_id = table.Column<Guid>(type: "uuid", nullable: true),
                    project_id = table.Column<Guid>(type: "uuid", nullable: true),
                    ask = table.Column<string>(type: "jsonb", nullable: false),
                    lots = table.Column<string>(type: "jsonb", nullable: true),
                    answer = table.Column<string>(type: "jsonb", nullable: true),
                    progress = table.Column<string>(type: "jsonb", nullable: true),
                    state = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    trouble = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: false),
                    run_id = table.Column<Guid>(type: "uuid", nullable: true),
                    heard_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    started_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    ended_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    stop_asked_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    accepted_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    accepted_by_id = table.Column<Guid>(type: "uuid", nullable: true),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    created_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_plan", x => x.id);
                    table.ForeignKey(
                        name: "fk_plan_person_accepted_by_id",
                        column: x => x.accepted_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_plan_person_created_by_id",
                        column: x => x.created_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_plan_plan_basis_id",
                        column: x => x.basis_id,
                        principalTable: "plan",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_plan_projects_project_id",
                        column: x => x.project_id,
                        principalTable: "project",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "piece_part",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    piece_id = table.Column<Guid>(type: "uuid", nullable: false),
                    position = table.Column<int>(type: "integer", nullable: false),
                    name = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: false),
                    metres_low = table.Column<double>(type: "double precision", nullable: false),
                    metres_likely = table.Column<double>(type: "double precision", nullable: false),
                    metres_safe = table.Column<double>(type: "double precision", nullable: false),
                    reckoning = table.Column<string>(type: "jsonb", nullable: true),
                    weight_classes = table.Column<string[]>(type: "text[]", nullable: false),
                    window_low = table.Column<double>(type: "double precision", nullable: true),
                    window_high = table.Column<double>(type: "double precision", nullable: true),
                    strands = table.Column<int>(type: "integer", nullable: false),
                    colour = table.Column<string>(type: "character varying(120)", maxLength: 120, nullable: false),
                    colour_hex = table.Column<string>(type: "character varying(7)", maxLength: 7, nullable: true),
                    rules = table.Column<int>(type: "integer", nullable: false),
                    only_fibres = table.Column<List<string>>(type: "text[]", nullable: false),
                    max_lots = table.Column<int>(type: "integer", nullable: false),
                    dye_lots_may_mix = table.Column<bool>(type: "boolean", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_piece_part", x => x.id);
                    table.CheckConstraint("piece_part_metres", "metres_low > 0 and metres_low <= metres_likely and metres_likely <= metres_safe");
                    table.CheckConstraint("piece_part_strands", "strands > 0 and max_lots > 0");
                    table.ForeignKey(
                        name: "fk_piece_part_piece_piece_id",
                        column: x => x.piece_id,
                        principalTable: "piece",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "kit",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    number = table.Column<string>(type: "character varying(20)", maxLength: 20, nullable: false),
                    request_id = table.Column<Guid>(type: "uuid", nullable: false),
                    plan_id = table.Column<Guid>(type: "uuid", nullable: true),
                    project_id = table.Column<Guid>(type: "uuid", nullable: true),
                    wanted_piece_id = table.Column<Guid>(type: "uuid", nullable: true),
                    piece_id = table.Column<Guid>(type: "uuid", nullable: true),
                    piece_name = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: false),
                    pieces = table.Column<int>(type: "integer", nullable: false),
                    packed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    packed_by_id = table.Column<Guid>(type: "uuid", nullable: true),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    created_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_kit", x => x.id);
                    table.CheckConstraint("kit_pieces_positive", "pieces > 0");
                    table.ForeignKey(
                        name: "fk_kit_hold_request_request_id",
                        column: x => x.request_id,
                        principalTable: "hold_request",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_kit_person_created_by_id",
                        column: x => x.created_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_kit_person_packed_by_id",
                        column: x => x.packed_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_kit_pieces_piece_id",
                        column: x => x.piece_id,
                        principalTable: "piece",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_kit_plans_plan_id",
                        column: x => x.plan_id,
                        principalTable: "plan",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_kit_projects_project_id",
                        column: x => x.project_id,
                        principalTable: "project",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_kit_wanted_pieces_wanted_piece_id",
                        column: x => x.wanted_piece_id,
                        principalTable: "wanted_piece",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "kit_line",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    kit_id = table.Column<Guid>(type: "uuid", nullable: false),
                    hold_id = table.Column<Guid>(type: "uuid", nullable: false),
                    position = table.Column<int>(type: "integer", nullable: false),
                    part = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: false),
                    planned_mg = table.Column<long>(type: "bigint", nullable: false),
                    metres = table.Column<double>(type: "double precision", nullable: false),
                    weighed_mg = table.Column<long>(type: "bigint", nullable: true),
                    scale_division_mg = table.Column<long>(type: "bigint", nullable: true),
                    weighed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    weighed_by_id = table.Column<Guid>(type: "uuid", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_kit_line", x => x.id);
                    table.CheckConstraint("kit_line_planned", "planned_mg > 0");
                    table.CheckConstraint("kit_line_weighed", "weighed_mg is null or weighed_mg > 0");
                    table.ForeignKey(
                        name: "fk_kit_line_hold_hold_id",
                        column: x => x.hold_id,
                        principalTable: "hold",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_kit_line_kit_kit_id",
                        column: x => x.kit_id,
                        principalTable: "kit",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_kit_line_person_weighed_by_id",
                        column: x => x.weighed_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "piece_record",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    project_id = table.Column<Guid>(type: "uuid", nullable: true),
                    wanted_piece_id = table.Column<Guid>(type: "uuid", nullable: true),
                    piece_id = table.Column<Guid>(type: "uuid", nullable: true),
                    kit_id = table.Column<Guid>(type: "uuid", nullable: true),
                    piece_name = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: false),
                    step = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    pieces = table.Column<int>(type: "integer", nullable: false),
                    used_mg = table.Column<long>(type: "bigint", nullable: true),
                    on = table.Column<DateOnly>(type: "date", nullable: false),
                    maker_id = table.Column<Guid>(type: "uuid", nullable: true),
                    note = table.Column<string>(type: "character varying(500)", maxLength: 500, nullable: false),
                    takes_back_id = table.Column<Guid>(type: "uuid", nullable: true),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    created_by_id = table.Column<Guid>(type: "uuid", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_piece_record", x => x.id);
                    table.CheckConstraint("piece_record_taken_back", "(pieces > 0 and takes_back_id is null) or (pieces < 0 and takes_back_id is not null)");
                    table.CheckConstraint("piece_record_used", "used_mg is null or step = 'Finished'");
                    table.ForeignKey(
                        name: "fk_piece_record_kit_kit_id",
                        column: x => x.kit_id,
                        principalTable: "kit",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_piece_record_person_created_by_id",
                        column: x => x.created_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_piece_record_person_maker_id",
                        column: x => x.maker_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_piece_record_piece_piece_id",
                        column: x => x.piece_id,
                        principalTable: "piece",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_piece_record_piece_record_takes_back_id",
                        column: x => x.takes_back_id,
                        principalTable: "piece_record",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_piece_record_projects_project_id",
                        column: x => x.project_id,
                        principalTable: "project",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_piece_record_wanted_pieces_wanted_piece_id",
                        column: x => x.wanted_piece_id,
                        principalTable: "wanted_piece",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateIndex(
                name: "ix_wanted_piece_piece_id",
                table: "wanted_piece",
                column: "piece_id");

            migrationBuilder.AddCheckConstraint(
                name: "wanted_piece_priority",
                table: "wanted_piece",
                sql: "priority between 1 and 1000");

            migrationBuilder.CreateIndex(
                name: "ix_project_public_name",
                table: "project",
                column: "public_name",
                unique: true);

            migrationBuilder.AddCheckConstraint(
                name: "guild_plan_safety",
                table: "guild",
                sql: "plan_safety_percent between 50 and 99");

            migrationBuilder.CreateIndex(
                name: "ix_kit_created_at",
                table: "kit",
                column: "created_at");

            migrationBuilder.CreateIndex(
                name: "ix_kit_created_by_id",
                table: "kit",
                column: "created_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_kit_number",
                table: "kit",
                column: "number",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_kit_packed_by_id",
                table: "kit",
                column: "packed_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_kit_piece_id",
                table: "kit",
                column: "piece_id");

            migrationBuilder.CreateIndex(
                name: "ix_kit_plan_id",
                table: "kit",
                column: "plan_id");

            migrationBuilder.CreateIndex(
                name: "ix_kit_project_id",
                table: "kit",
                column: "project_id");

            migrationBuilder.CreateIndex(
                name: "ix_kit_request_id",
                table: "kit",
                column: "request_id",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_kit_wanted_piece_id",
                table: "kit",
                column: "wanted_piece_id");

            migrationBuilder.CreateIndex(
                name: "ix_kit_line_hold_id",
                table: "kit_line",
                column: "hold_id",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_kit_line_kit_id",
                table: "kit_line",
                column: "kit_id");

            migrationBuilder.CreateIndex(
                name: "ix_kit_line_weighed_by_id",
                table: "kit_line",
                column: "weighed_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_piece_created_by_id",
                table: "piece",
                column: "created_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_piece_part_piece_id",
                table: "piece_part",
                column: "piece_id");

            migrationBuilder.CreateIndex(
                name: "ix_piece_record_created_by_id",
                table: "piece_record",
                column: "created_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_piece_record_kit_id",
                table: "piece_record",
                column: "kit_id");

            migrationBuilder.CreateIndex(
                name: "ix_piece_record_maker_id",
                table: "piece_record",
                column: "maker_id");

            migrationBuilder.CreateIndex(
                name: "ix_piece_record_on",
                table: "piece_record",
                column: "on");

            migrationBuilder.CreateIndex(
                name: "ix_piece_record_piece_id",
                table: "piece_record",
                column: "piece_id");

            migrationBuilder.CreateIndex(
                name: "ix_piece_record_project_id_step",
                table: "piece_record",
                columns: new[] { "project_id", "step" });

            migrationBuilder.CreateIndex(
                name: "ix_piece_record_takes_back_id",
                table: "piece_record",
                column: "takes_back_id",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_piece_record_wanted_piece_id",
                table: "piece_record",
                column: "wanted_piece_id");

            migrationBuilder.CreateIndex(
                name: "ix_piece_size_table_created_by_id",
                table: "piece_size_table",
                column: "created_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_plan_accepted_by_id",
                table: "plan",
                column: "accepted_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_plan_basis_id",
                table: "plan",
                column: "basis_id");

            migrationBuilder.CreateIndex(
                name: "ix_plan_created_at",
                table: "plan",
                column: "created_at");

            migrationBuilder.CreateIndex(
                name: "ix_plan_created_by_id",
                table: "plan",
                column: "created_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_plan_number",
                table: "plan",
                column: "number",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_plan_project_id",
                table: "plan",
                column: "project_id");

            migrationBuilder.CreateIndex(
                name: "ix_plan_state",
                table: "plan",
                column: "state",
                filter: "state in ('Waiting', 'Running')");

            migrationBuilder.AddForeignKey(
                name: "fk_wanted_piece_piece_piece_id",
                table: "wanted_piece",
                column: "piece_id",
                principalTable: "piece",
                principalColumn: "id",
                onDelete: ReferentialAction.Restrict);
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropForeignKey(
                name: "fk_wanted_piece_piece_piece_id",
                table: "wanted_piece");

            migrationBuilder.DropTable(
                name: "kit_line");

            migrationBuilder.DropTable(
                name: "piece_part");

            migrationBuilder.DropTable(
                name: "piece_record");

            migrationBuilder.DropTable(
                name: "piece_size_table");

            migrationBuilder.DropTable(
                name: "kit");

            migrationBuilder.DropTable(
                name: "piece");

            migrationBuilder.DropTable(
                name: "plan");

            migrationBuilder.DropIndex(
                name: "ix_wanted_piece_piece_id",
                table: "wanted_piece");

            migrationBuilder.DropCheckConstraint(
                name: "wanted_piece_priority",
                table: "wanted_piece");

            migrationBuilder.DropIndex(
                name: "ix_project_public_name",
                table: "project");

            migrationBuilder.DropCheckConstraint(
                name: "guild_plan_safety",
                table: "guild");

            migrationBuilder.DropColumn(
                name: "piece_id",
                table: "wanted_piece");

            migrationBuilder.DropColumn(
                name: "priority",
                table: "wanted_piece");

            migrationBuilder.DropColumn(
                name: "public_name",
                table: "project");

            migrationBuilder.DropColumn(
                name: "plan_safety_percent",
                table: "guild");

            migrationBuilder.DropColumn(
                name: "wanted_is_public",
                table: "guild");
        }
    }
}
