using System;
using System.Collections.Generic;
using Microsoft.EntityFrameworkCore.Migrations;
using Npgsql.EntityFrameworkCore.PostgreSQL.Metadata;

#nullable disable

namespace GuildStash.Data.Migrations
{
    /// <inheritdoc />
    public partial class TheRoom : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.CreateTable(
                name: "data_protection_key",
                columns: table => new
                {
                    id = table.Column<int>(type: "integer", nullable: false)
                        .Annotation("Npgsql:ValueGenerationStrategy", NpgsqlValueGenerationStrategy.IdentityByDefaultColumn),
                    friendly_name = table.Column<string>(type: "text", nullable: true),
                    xml = table.Column<string>(type: "text", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_data_protection_key", x => x.id);
                });

            migrationBuilder.CreateTable(
                name: "donor",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    name = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    contact = table.Column<string>(type: "character varying(300)", maxLength: 300, nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    created_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    changed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    changed_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_donor", x => x.id);
                });

            migrationBuilder.CreateTable(
                name: "guild",
                columns: table => new
                {
                    id = table.Column<int>(type: "integer", nullable: false),
                    name = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    address = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: false),
                    time_zone = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: false),
                    culture = table.Column<string>(type: "character varying(20)", maxLength: 20, nullable: false),
                    length_unit = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    quarantine_policy = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    hold_days = table.Column<int>(type: "integer", nullable: false),
                    loan_days = table.Column<int>(type: "integer", nullable: false),
                    weighing_tolerance_grams = table.Column<int>(type: "integer", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false),
                    changed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    changed_by_id = table.Column<Guid>(type: "uuid", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_guild", x => x.id);
                    table.CheckConstraint("guild_is_one", "id = 1");
                });

            migrationBuilder.CreateTable(
                name: "number_counter",
                columns: table => new
                {
                    series = table.Column<string>(type: "character varying(20)", maxLength: 20, nullable: false),
                    year = table.Column<int>(type: "integer", nullable: false),
                    last = table.Column<long>(type: "bigint", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_number_counter", x => new { x.series, x.year });
                });

            migrationBuilder.CreateTable(
                name: "person",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    display_name = table.Column<string>(type: "character varying(120)", maxLength: 120, nullable: false),
                    role = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    culture = table.Column<string>(type: "character varying(20)", maxLength: 20, nullable: true),
                    length_unit = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: true),
                    theme = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    disabled_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    user_name = table.Column<string>(type: "character varying(256)", maxLength: 256, nullable: true),
                    normalized_user_name = table.Column<string>(type: "character varying(256)", maxLength: 256, nullable: true),
                    email = table.Column<string>(type: "character varying(256)", maxLength: 256, nullable: true),
                    normalized_email = table.Column<string>(type: "character varying(256)", maxLength: 256, nullable: true),
                    email_confirmed = table.Column<bool>(type: "boolean", nullable: false),
                    password_hash = table.Column<string>(type: "text", nullable: true),
                    security_stamp = table.Column<string>(type: "text", nullable: true),
                    concurrency_stamp = table.Column<string>(type: "text", nullable: true),
                    phone_number = table.Column<string>(type: "text", nullable: true),
                    phone_number_confirmed = table.Column<bool>(type: "boolean", nullable: false),
                    two_factor_enabled = table.Column<bool>(type: "boolean", nullable: false),
                    lockout_end = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    lockout_enabled = table.Column<bool>(type: "boolean", nullable: false),
                    access_failed_count = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_person", x => x.id);
                });

            migrationBuilder.CreateTable(
                name: "project",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    name = table.Column<string>(type: "character varying(150)", maxLength: 150, nullable: false),
                    recipient = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    description = table.Column<string>(type: "character varying(4000)", maxLength: 4000, nullable: false),
                    rules = table.Column<int>(type: "integer", nullable: false),
                    deadline = table.Column<DateOnly>(type: "date", nullable: true),
                    closed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    created_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    changed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    changed_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_project", x => x.id);
                });

            migrationBuilder.CreateTable(
                name: "site",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    name = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_site", x => x.id);
                });

            migrationBuilder.CreateTable(
                name: "api_token",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    person_id = table.Column<Guid>(type: "uuid", nullable: false),
                    name = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: false),
                    secret_hash = table.Column<byte[]>(type: "bytea", nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    expires_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    revoked_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_api_token", x => x.id);
                    table.ForeignKey(
                        name: "fk_api_token_asp_net_users_person_id",
                        column: x => x.person_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "donation",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    number = table.Column<string>(type: "character varying(20)", maxLength: 20, nullable: false),
                    kind = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    decision = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    decision_reason = table.Column<string>(type: "character varying(500)", maxLength: 500, nullable: false),
                    received_on = table.Column<DateOnly>(type: "date", nullable: false),
                    donor_id = table.Column<Guid>(type: "uuid", nullable: true),
                    wishes = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: false),
                    notes = table.Column<string>(type: "character varying(4000)", maxLength: 4000, nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    created_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    changed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    changed_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_donation", x => x.id);
                    table.ForeignKey(
                        name: "fk_donation_asp_net_users_created_by_id",
                        column: x => x.created_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_donation_donors_donor_id",
                        column: x => x.donor_id,
                        principalTable: "donor",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "idempotent_response",
                columns: table => new
                {
                    person_id = table.Column<Guid>(type: "uuid", nullable: false),
                    route = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    key = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    body_hash = table.Column<byte[]>(type: "bytea", nullable: false),
                    response = table.Column<string>(type: "jsonb", nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_idempotent_response", x => new { x.person_id, x.route, x.key });
                    table.ForeignKey(
                        name: "fk_idempotent_response_asp_net_users_person_id",
                        column: x => x.person_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "invitation",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    secret_hash = table.Column<byte[]>(type: "bytea", nullable: false),
                    note = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    role = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    created_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    expires_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    used_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    used_by_id = table.Column<Guid>(type: "uuid", nullable: true),
                    withdrawn_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_invitation", x => x.id);
                    table.ForeignKey(
                        name: "fk_invitation_asp_net_users_created_by_id",
                        column: x => x.created_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_invitation_asp_net_users_used_by_id",
                        column: x => x.used_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "person_claim",
                columns: table => new
                {
                    id = table.Column<int>(type: "integer", nullable: false)
                        .Annotation("Npgsql:ValueGenerationStrategy", NpgsqlValueGenerationStrategy.IdentityByDefaultColumn),
                    user_id = table.Column<Guid>(type: "uuid", nullable: false),
                    claim_type = table.Column<string>(type: "text", nullable: true),
                    claim_value = table.Column<string>(type: "text", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_person_claim", x => x.id);
                    table.ForeignKey(
                        name: "fk_person_claim_asp_net_users_user_id",
                        column: x => x.user_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "person_login",
                columns: table => new
                {
                    login_provider = table.Column<string>(type: "text", nullable: false),
                    provider_key = table.Column<string>(type: "text", nullable: false),
                    provider_display_name = table.Column<string>(type: "text", nullable: true),
                    user_id = table.Column<Guid>(type: "uuid", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_person_login", x => new { x.login_provider, x.provider_key });
                    table.ForeignKey(
                        name: "fk_person_login_asp_net_users_user_id",
                        column: x => x.user_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "person_token",
                columns: table => new
                {
                    user_id = table.Column<Guid>(type: "uuid", nullable: false),
                    login_provider = table.Column<string>(type: "text", nullable: false),
                    name = table.Column<string>(type: "text", nullable: false),
                    value = table.Column<string>(type: "text", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_person_token", x => new { x.user_id, x.login_provider, x.name });
                    table.ForeignKey(
                        name: "fk_person_token_asp_net_users_user_id",
                        column: x => x.user_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "hold_request",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    number = table.Column<string>(type: "character varying(20)", maxLength: 20, nullable: false),
                    member_id = table.Column<Guid>(type: "uuid", nullable: false),
                    project_id = table.Column<Guid>(type: "uuid", nullable: true),
                    note = table.Column<string>(type: "character varying(500)", maxLength: 500, nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    created_by_id = table.Column<Guid>(type: "uuid", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_hold_request", x => x.id);
                    table.ForeignKey(
                        name: "fk_hold_request_asp_net_users_member_id",
                        column: x => x.member_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_hold_request_projects_project_id",
                        column: x => x.project_id,
                        principalTable: "project",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "wanted_piece",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    project_id = table.Column<Guid>(type: "uuid", nullable: false),
                    position = table.Column<int>(type: "integer", nullable: false),
                    name = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: false),
                    wanted = table.Column<int>(type: "integer", nullable: false),
                    notes = table.Column<string>(type: "character varying(500)", maxLength: 500, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_wanted_piece", x => x.id);
                    table.CheckConstraint("wanted_piece_positive", "wanted > 0");
                    table.ForeignKey(
                        name: "fk_wanted_piece_project_project_id",
                        column: x => x.project_id,
                        principalTable: "project",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "bin",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    code = table.Column<string>(type: "character varying(8)", maxLength: 8, nullable: false),
                    name = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: false),
                    kind = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    site_id = table.Column<Guid>(type: "uuid", nullable: false),
                    place = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    litres = table.Column<decimal>(type: "numeric(8,1)", precision: 8, scale: 1, nullable: true),
                    notes = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: false),
                    last_counted_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    closed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    created_by_id = table.Column<Guid>(type: "uuid", nullable: true),
                    changed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    changed_by_id = table.Column<Guid>(type: "uuid", nullable: true),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_bin", x => x.id);
                    table.ForeignKey(
                        name: "fk_bin_sites_site_id",
                        column: x => x.site_id,
                        principalTable: "site",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "bag",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    donation_id = table.Column<Guid>(type: "uuid", nullable: false),
                    ordinal = table.Column<int>(type: "integer", nullable: false),
                    gross_mg = table.Column<long>(type: "bigint", nullable: false),
                    tare_mg = table.Column<long>(type: "bigint", nullable: false),
                    unsorted_mg = table.Column<long>(type: "bigint", nullable: false, defaultValue: 0L),
                    conditions = table.Column<int>(type: "integer", nullable: false),
                    quarantine_reason = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: true),
                    inspected_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    inspected_by_id = table.Column<Guid>(type: "uuid", nullable: true),
                    inspection_note = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: false),
                    closed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    closed_by_id = table.Column<Guid>(type: "uuid", nullable: true),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_bag", x => x.id);
                    table.CheckConstraint("bag_closed_is_empty", "closed_at is null or unsorted_mg = 0");
                    table.CheckConstraint("bag_net_positive", "gross_mg > tare_mg and tare_mg >= 0");
                    table.ForeignKey(
                        name: "fk_bag_donations_donation_id",
                        column: x => x.donation_id,
                        principalTable: "donation",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "lot",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    code = table.Column<string>(type: "character varying(12)", maxLength: 12, nullable: false),
                    bag_id = table.Column<Guid>(type: "uuid", nullable: false),
                    donation_id = table.Column<Guid>(type: "uuid", nullable: false),
                    bin_id = table.Column<Guid>(type: "uuid", nullable: false),
                    put_up = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    count = table.Column<int>(type: "integer", nullable: false),
                    softness = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    machine_washable = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    care_notes = table.Column<string>(type: "character varying(500)", maxLength: 500, nullable: false),
                    colour_family = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: true),
                    colour_hex = table.Column<string>(type: "character varying(7)", maxLength: 7, nullable: true),
                    dye_lot = table.Column<string>(type: "character varying(60)", maxLength: 60, nullable: false),
                    multicolour = table.Column<bool>(type: "boolean", nullable: false),
                    conditions = table.Column<int>(type: "integer", nullable: false),
                    notes = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: false),
                    fibre_codes = table.Column<List<string>>(type: "text[]", nullable: false),
                    fibre_percents = table.Column<List<decimal>>(type: "numeric[]", nullable: false),
                    fibre_basis = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    mass_known = table.Column<bool>(type: "boolean", nullable: false),
                    scale_division_mg = table.Column<long>(type: "bigint", nullable: true),
                    core_tare_mg = table.Column<long>(type: "bigint", nullable: true),
                    asserted_class = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: true),
                    wraps_count = table.Column<decimal>(type: "numeric", nullable: true),
                    wraps_inches = table.Column<decimal>(type: "numeric", nullable: true),
                    wraps_repeats = table.Column<List<decimal>>(type: "numeric[]", nullable: false),
                    band_metres = table.Column<double>(type: "double precision", nullable: true),
                    band_mg = table.Column<long>(type: "bigint", nullable: true),
                    texture = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    weight_class = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: true),
                    metres_per100g_low = table.Column<double>(type: "double precision", nullable: true),
                    metres_per100g_likely = table.Column<double>(type: "double precision", nullable: true),
                    metres_per100g_high = table.Column<double>(type: "double precision", nullable: true),
                    estimate_basis = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    model_version = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    table_version = table.Column<string>(type: "character varying(40)", maxLength: 40, nullable: false),
                    on_hand_mg = table.Column<long>(type: "bigint", nullable: false, defaultValue: 0L),
                    quarantined_mg = table.Column<long>(type: "bigint", nullable: false, defaultValue: 0L),
                    held_mg = table.Column<long>(type: "bigint", nullable: false, defaultValue: 0L),
                    quarantine_reason = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: true),
                    closed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    created_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    changed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    changed_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_lot", x => x.id);
                    table.CheckConstraint("lot_closed_is_empty", "closed_at is null or on_hand_mg = 0");
                    table.CheckConstraint("lot_held_within_free", "held_mg >= 0 and held_mg + quarantined_mg <= on_hand_mg");
                    table.CheckConstraint("lot_on_hand_not_negative", "on_hand_mg >= 0");
                    table.CheckConstraint("lot_quarantined_within_on_hand", "quarantined_mg >= 0 and quarantined_mg <= on_hand_mg");
                    table.ForeignKey(
                        name: "fk_lot_bag_bag_id",
                        column: x => x.bag_id,
                        principalTable: "bag",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_lot_bin_bin_id",
                        column: x => x.bin_id,
                        principalTable: "bin",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_lot_donation_donation_id",
                        column: x => x.donation_id,
                        principalTable: "donation",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_lot_person_created_by_id",
                        column: x => x.created_by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "hold",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    request_id = table.Column<Guid>(type: "uuid", nullable: false),
                    lot_id = table.Column<Guid>(type: "uuid", nullable: false),
                    mg = table.Column<long>(type: "bigint", nullable: false),
                    wanted_metres = table.Column<double>(type: "double precision", nullable: true),
                    state = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    expires_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    ended_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    ended_by_id = table.Column<Guid>(type: "uuid", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_hold", x => x.id);
                    table.CheckConstraint("hold_mass_positive", "mg > 0");
                    table.ForeignKey(
                        name: "fk_hold_hold_requests_request_id",
                        column: x => x.request_id,
                        principalTable: "hold_request",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_hold_lots_lot_id",
                        column: x => x.lot_id,
                        principalTable: "lot",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "checkout",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    lot_id = table.Column<Guid>(type: "uuid", nullable: false),
                    member_id = table.Column<Guid>(type: "uuid", nullable: false),
                    hold_id = table.Column<Guid>(type: "uuid", nullable: true),
                    project_id = table.Column<Guid>(type: "uuid", nullable: true),
                    taken_mg = table.Column<long>(type: "bigint", nullable: false),
                    at_home_mg = table.Column<long>(type: "bigint", nullable: false, defaultValue: 0L),
                    due_on = table.Column<DateOnly>(type: "date", nullable: false),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    handed_over_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    closed_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_checkout", x => x.id);
                    table.CheckConstraint("checkout_at_home_not_negative", "at_home_mg >= 0");
                    table.CheckConstraint("checkout_taken_positive", "taken_mg > 0");
                    table.ForeignKey(
                        name: "fk_checkout_asp_net_users_member_id",
                        column: x => x.member_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_checkout_holds_hold_id",
                        column: x => x.hold_id,
                        principalTable: "hold",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_checkout_lots_lot_id",
                        column: x => x.lot_id,
                        principalTable: "lot",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_checkout_projects_project_id",
                        column: x => x.project_id,
                        principalTable: "project",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "lot_return",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    checkout_id = table.Column<Guid>(type: "uuid", nullable: false),
                    lot_id = table.Column<Guid>(type: "uuid", nullable: false),
                    mg = table.Column<long>(type: "bigint", nullable: false),
                    conditions = table.Column<int>(type: "integer", nullable: true),
                    quarantine_bin_id = table.Column<Guid>(type: "uuid", nullable: true),
                    created_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    received_by_id = table.Column<Guid>(type: "uuid", nullable: false),
                    settled_at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: true),
                    settled_by_id = table.Column<Guid>(type: "uuid", nullable: true),
                    inspection_note = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_lot_return", x => x.id);
                    table.CheckConstraint("lot_return_mass_positive", "mg > 0");
                    table.ForeignKey(
                        name: "fk_lot_return_bins_quarantine_bin_id",
                        column: x => x.quarantine_bin_id,
                        principalTable: "bin",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_lot_return_checkout_checkout_id",
                        column: x => x.checkout_id,
                        principalTable: "checkout",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_lot_return_lots_lot_id",
                        column: x => x.lot_id,
                        principalTable: "lot",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "movement",
                columns: table => new
                {
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    sequence = table.Column<long>(type: "bigint", nullable: false)
                        .Annotation("Npgsql:ValueGenerationStrategy", NpgsqlValueGenerationStrategy.IdentityAlwaysColumn),
                    from_kind = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    from_id = table.Column<Guid>(type: "uuid", nullable: true),
                    to_kind = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    to_id = table.Column<Guid>(type: "uuid", nullable: true),
                    mg = table.Column<long>(type: "bigint", nullable: false),
                    reason = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    note = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: false),
                    lot_id = table.Column<Guid>(type: "uuid", nullable: true),
                    bag_id = table.Column<Guid>(type: "uuid", nullable: false),
                    checkout_id = table.Column<Guid>(type: "uuid", nullable: true),
                    corrects_id = table.Column<Guid>(type: "uuid", nullable: true),
                    at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    by_id = table.Column<Guid>(type: "uuid", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_movement", x => x.id);
                    table.CheckConstraint("movement_mass_positive", "mg > 0");
                    table.ForeignKey(
                        name: "fk_movement_asp_net_users_by_id",
                        column: x => x.by_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_movement_bag_bag_id",
                        column: x => x.bag_id,
                        principalTable: "bag",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_movement_checkout_checkout_id",
                        column: x => x.checkout_id,
                        principalTable: "checkout",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_movement_lots_lot_id",
                        column: x => x.lot_id,
                        principalTable: "lot",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_movement_movement_corrects_id",
                        column: x => x.corrects_id,
                        principalTable: "movement",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateIndex(
                name: "ix_api_token_person_id",
                table: "api_token",
                column: "person_id");

            migrationBuilder.CreateIndex(
                name: "ix_api_token_secret_hash",
                table: "api_token",
                column: "secret_hash",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_bag_closed_at",
                table: "bag",
                column: "closed_at");

            migrationBuilder.CreateIndex(
                name: "ix_bag_donation_id_ordinal",
                table: "bag",
                columns: new[] { "donation_id", "ordinal" },
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_bin_code",
                table: "bin",
                column: "code",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_bin_site_id",
                table: "bin",
                column: "site_id");

            migrationBuilder.CreateIndex(
                name: "ix_checkout_due_on",
                table: "checkout",
                column: "due_on",
                filter: "closed_at is null");

            migrationBuilder.CreateIndex(
                name: "ix_checkout_hold_id",
                table: "checkout",
                column: "hold_id",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_checkout_lot_id",
                table: "checkout",
                column: "lot_id");

            migrationBuilder.CreateIndex(
                name: "ix_checkout_member_id_closed_at",
                table: "checkout",
                columns: new[] { "member_id", "closed_at" });

            migrationBuilder.CreateIndex(
                name: "ix_checkout_project_id",
                table: "checkout",
                column: "project_id");

            migrationBuilder.CreateIndex(
                name: "ix_donation_created_by_id",
                table: "donation",
                column: "created_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_donation_donor_id",
                table: "donation",
                column: "donor_id");

            migrationBuilder.CreateIndex(
                name: "ix_donation_number",
                table: "donation",
                column: "number",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_donation_received_on",
                table: "donation",
                column: "received_on");

            migrationBuilder.CreateIndex(
                name: "ix_donor_name",
                table: "donor",
                column: "name");

            migrationBuilder.CreateIndex(
                name: "ix_hold_lot_id_state",
                table: "hold",
                columns: new[] { "lot_id", "state" });

            migrationBuilder.CreateIndex(
                name: "ix_hold_request_id",
                table: "hold",
                column: "request_id");

            migrationBuilder.CreateIndex(
                name: "ix_hold_state_expires_at",
                table: "hold",
                columns: new[] { "state", "expires_at" });

            migrationBuilder.CreateIndex(
                name: "ix_hold_request_member_id",
                table: "hold_request",
                column: "member_id");

            migrationBuilder.CreateIndex(
                name: "ix_hold_request_number",
                table: "hold_request",
                column: "number",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_hold_request_project_id",
                table: "hold_request",
                column: "project_id");

            migrationBuilder.CreateIndex(
                name: "ix_idempotent_response_created_at",
                table: "idempotent_response",
                column: "created_at");

            migrationBuilder.CreateIndex(
                name: "ix_invitation_created_by_id",
                table: "invitation",
                column: "created_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_invitation_secret_hash",
                table: "invitation",
                column: "secret_hash",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_invitation_used_by_id",
                table: "invitation",
                column: "used_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_lot_bag_id",
                table: "lot",
                column: "bag_id");

            migrationBuilder.CreateIndex(
                name: "ix_lot_bin_id",
                table: "lot",
                column: "bin_id");

            migrationBuilder.CreateIndex(
                name: "ix_lot_code",
                table: "lot",
                column: "code",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_lot_colour_family_weight_class",
                table: "lot",
                columns: new[] { "colour_family", "weight_class" },
                filter: "closed_at is null");

            migrationBuilder.CreateIndex(
                name: "ix_lot_created_by_id",
                table: "lot",
                column: "created_by_id");

            migrationBuilder.CreateIndex(
                name: "ix_lot_donation_id",
                table: "lot",
                column: "donation_id");

            migrationBuilder.CreateIndex(
                name: "ix_lot_fibre_codes",
                table: "lot",
                column: "fibre_codes")
                .Annotation("Npgsql:IndexMethod", "gin");

            migrationBuilder.CreateIndex(
                name: "ix_lot_return_checkout_id",
                table: "lot_return",
                column: "checkout_id");

            migrationBuilder.CreateIndex(
                name: "ix_lot_return_lot_id",
                table: "lot_return",
                column: "lot_id");

            migrationBuilder.CreateIndex(
                name: "ix_lot_return_quarantine_bin_id",
                table: "lot_return",
                column: "quarantine_bin_id");

            migrationBuilder.CreateIndex(
                name: "ix_lot_return_settled_at",
                table: "lot_return",
                column: "settled_at",
                filter: "settled_at is null");

            migrationBuilder.CreateIndex(
                name: "ix_movement_bag_id_sequence",
                table: "movement",
                columns: new[] { "bag_id", "sequence" });

            migrationBuilder.CreateIndex(
                name: "ix_movement_by_id",
                table: "movement",
                column: "by_id");

            migrationBuilder.CreateIndex(
                name: "ix_movement_checkout_id",
                table: "movement",
                column: "checkout_id");

            migrationBuilder.CreateIndex(
                name: "ix_movement_corrects_id",
                table: "movement",
                column: "corrects_id");

            migrationBuilder.CreateIndex(
                name: "ix_movement_lot_id_sequence",
                table: "movement",
                columns: new[] { "lot_id", "sequence" });

            migrationBuilder.CreateIndex(
                name: "ix_movement_sequence",
                table: "movement",
                column: "sequence",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "EmailIndex",
                table: "person",
                column: "normalized_email");

            migrationBuilder.CreateIndex(
                name: "UserNameIndex",
                table: "person",
                column: "normalized_user_name",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_person_claim_user_id",
                table: "person_claim",
                column: "user_id");

            migrationBuilder.CreateIndex(
                name: "ix_person_login_user_id",
                table: "person_login",
                column: "user_id");

            migrationBuilder.CreateIndex(
                name: "ix_site_name",
                table: "site",
                column: "name",
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_wanted_piece_project_id",
                table: "wanted_piece",
                column: "project_id");

            migrationBuilder.Sql(Ledger.LedgerTriggers.Create);
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.Sql(Ledger.LedgerTriggers.Drop);

            migrationBuilder.DropTable(
                name: "api_token");

            migrationBuilder.DropTable(
                name: "data_protection_key");

            migrationBuilder.DropTable(
                name: "guild");

            migrationBuilder.DropTable(
                name: "idempotent_response");

            migrationBuilder.DropTable(
                name: "invitation");

            migrationBuilder.DropTable(
                name: "lot_return");

            migrationBuilder.DropTable(
                name: "movement");

            migrationBuilder.DropTable(
                name: "number_counter");

            migrationBuilder.DropTable(
                name: "person_claim");

            migrationBuilder.DropTable(
                name: "person_login");

            migrationBuilder.DropTable(
                name: "person_token");

            migrationBuilder.DropTable(
                name: "wanted_piece");

            migrationBuilder.DropTable(
                name: "checkout");

            migrationBuilder.DropTable(
                name: "hold");

            migrationBuilder.DropTable(
                name: "hold_request");

            migrationBuilder.DropTable(
                name: "lot");

            migrationBuilder.DropTable(
                name: "project");

            migrationBuilder.DropTable(
                name: "bag");

            migrationBuilder.DropTable(
                name: "bin");

            migrationBuilder.DropTable(
                name: "donation");

            migrationBuilder.DropTable(
                name: "site");

            migrationBuilder.DropTable(
                name: "person");

            migrationBuilder.DropTable(
                name: "donor");
        }
    }
}
