using System;
using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace AgeWatch.Migrations.Postgres.Migrations
{
    /// <inheritdoc />
    public partial class ChangeLogAndRank : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AddColumn<DateOnly>(
                name: "born_earliest",
                table: "due_states",
                type: "date",
                nullable: true);

            migrationBuilder.AddColumn<DateOnly>(
                name: "born_latest",
                table: "due_states",
                type: "date",
                nullable: true);

            migrationBuilder.AddColumn<long>(
                name: "rank",
                table: "due_states",
                type: "bigint",
                nullable: false,
                defaultValue: 0L);

            // As Core's WorstKey.Rank had it on the day of this migration, so that an upgraded list is in order at once.
            migrationBuilder.Sql("""
                UPDATE due_states SET rank =
                    (CAST(hazard AS BIGINT) << 41) | (CAST(state AS BIGINT) << 33)
                    | (CASE WHEN certainty = 1 THEN 0 ELSE 16777216 END)
                    | COALESCE((due_earliest - DATE '0001-01-01') + 1, 0)
                """);

            migrationBuilder.CreateTable(
                name: "changes",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    sequence = table.Column<long>(type: "bigint", nullable: false),
                    at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    key_id = table.Column<Guid>(type: "uuid", nullable: true),
                    record = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: false),
                    record_id = table.Column<Guid>(type: "uuid", nullable: false),
                    vehicle_id = table.Column<Guid>(type: "uuid", nullable: true),
                    kind = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    before = table.Column<string>(type: "text", nullable: true),
                    after = table.Column<string>(type: "text", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_changes", x => new { x.club_id, x.sequence });
                    table.ForeignKey(
                        name: "fk_changes_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateIndex(
                name: "ix_due_states_club_id_rank_subject_id",
                table: "due_states",
                columns: new[] { "club_id", "rank", "subject_id" });

            migrationBuilder.CreateIndex(
                name: "ix_changes_club_id_record_id",
                table: "changes",
                columns: new[] { "club_id", "record_id" });
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropTable(
                name: "changes");

            migrationBuilder.DropIndex(
                name: "ix_due_states_club_id_rank_subject_id",
                table: "due_states");

            migrationBuilder.DropColumn(
                name: "born_earliest",
                table: "due_states");

            migrationBuilder.DropColumn(
                name: "born_latest",
                table: "due_states");

            migrationBuilder.DropColumn(
                name: "rank",
                table: "due_states");
        }
    }
}
