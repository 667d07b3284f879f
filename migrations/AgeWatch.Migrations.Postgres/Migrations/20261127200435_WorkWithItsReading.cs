using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace AgeWatch.Migrations.Postgres.Migrations
{
    /// <inheritdoc />
    public partial class WorkWithItsReading : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AlterColumn<long>(
                name: "hours",
                table: "limits",
                type: "bigint",
                nullable: true,
                oldClrType: typeof(int),
                oldType: "integer",
                oldNullable: true);

            migrationBuilder.AddColumn<long>(
                name: "hours",
                table: "evidence",
                type: "bigint",
                nullable: true);

            migrationBuilder.AddColumn<long>(
                name: "thousandths",
                table: "evidence",
                type: "bigint",
                nullable: true);

            migrationBuilder.AddColumn<string>(
                name: "unit",
                table: "evidence",
                type: "character varying(32)",
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

            migrationBuilder.AlterColumn<int>(
                name: "hours",
                table: "limits",
                type: "integer",
                nullable: true,
                oldClrType: typeof(long),
                oldType: "bigint",
                oldNullable: true);
        }
    }
}
