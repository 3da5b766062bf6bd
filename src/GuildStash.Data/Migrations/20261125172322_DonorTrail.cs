using System;
using Microsoft.EntityFrameworkCore.Migrations;
using Npgsql.EntityFrameworkCore.PostgreSQL.Metadata;

#nullable disable

namespace GuildStash.Data.Migrations
{
    /// <inheritdoc />
    public partial class DonorTrail : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.CreateTable(
                name: "donor_trail",
                columns: table => new
                {
                    id = table.Column<long>(type: "bigint", nullable: false)
                        .Annotation("Npgsql:ValueGenerationStrategy", NpgsqlValueGenerationStrategy.IdentityAlwaysColumn),
                    donor_id = table.Column<Guid>(type: "uuid", nullable: true),
                    person_id = table.Column<Guid>(type: "uuid", nullable: true),
                    at = table.Column<DateTimeOffset>(type: "timestamp with time zone", nullable: false),
                    day = table.Column<DateOnly>(type: "date", nullable: false),
                    kind = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    way = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    fields = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_donor_trail", x => x.id);
                    table.ForeignKey(
                        name: "fk_donor_trail_asp_net_users_person_id",
                        column: x => x.person_id,
                        principalTable: "person",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                    table.ForeignKey(
                        name: "fk_donor_trail_donor_donor_id",
                        column: x => x.donor_id,
                        principalTable: "donor",
                        principalColumn: "id",
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateIndex(
                name: "ix_donor_trail_donor_id",
                table: "donor_trail",
                column: "donor_id");

            migrationBuilder.CreateIndex(
                name: "ix_donor_trail_person_id_day_donor_id_way_fields",
                table: "donor_trail",
                columns: new[] { "person_id", "day", "donor_id", "way", "fields" },
                unique: true,
                filter: "kind = 'Seen' and donor_id is not null");

            migrationBuilder.Sql(Intake.DonorTrailTriggers.Create);
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.Sql(Intake.DonorTrailTriggers.Drop);

            migrationBuilder.DropTable(
                name: "donor_trail");
        }
    }
}
