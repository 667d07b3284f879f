using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace AgeWatch.Migrations.Sqlite.Migrations
{
    /// <inheritdoc />
    public partial class ForceOfAnswers : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AddColumn<int>(
                name: "force",
                table: "notices",
                type: "INTEGER",
                maxLength: 32,
                nullable: true);

            migrationBuilder.AddColumn<int>(
                name: "force",
                table: "due_states",
                type: "INTEGER",
                maxLength: 32,
                nullable: true);

            // A stop-use answer is always mandatory; of the others it is not known before the next full pass, and until
            // then they stand with the recommended.
            migrationBuilder.Sql("UPDATE due_states SET force = 0 WHERE state = 0");
            migrationBuilder.Sql("UPDATE due_states SET rank = rank | 33554432 WHERE state <> 0");
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropColumn(
                name: "force",
                table: "notices");

            migrationBuilder.DropColumn(
                name: "force",
                table: "due_states");
        }
    }
}
