using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace AgeWatch.Migrations.Sqlite.Migrations
{
    /// <inheritdoc />
    public partial class WorkWithItsReading : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AddColumn<long>(
                name: "hours",
                table: "evidence",
                type: "INTEGER",
                nullable: true);

            migrationBuilder.AddColumn<long>(
                name: "thousandths",
                table: "evidence",
                type: "INTEGER",
                nullable: true);

            migrationBuilder.AddColumn<string>(
                name: "unit",
                table: "evidence",
                type: "TEXT",
                maxLength: 32,
                nullable: true);

            // From whole hours to thousandths, as every other column of hours.
            migrationBuilder.Sql("UPDATE limits SET hours = hours * 1000");
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.Sql("UPDATE limits SET hours = hours / 1000");

            migrationBuilder.DropColumn(
                name: "hours",
                table: "evidence");

            migrationBuilder.DropColumn(
                name: "thousandths",
                table: "evidence");

            migrationBuilder.DropColumn(
                name: "unit",
                table: "evidence");
        }
    }
}
