using System;
using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace AgeWatch.Migrations.Sqlite.Migrations
{
    /// <inheritdoc />
    public partial class OwnRules : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.AddColumn<string>(
                name: "reason",
                table: "limits",
                type: "TEXT",
                maxLength: 500,
                nullable: true);

            migrationBuilder.AddColumn<DateOnly>(
                name: "review_on",
                table: "limits",
                type: "TEXT",
                nullable: true);

            // Nobody can look these up: they count as a rule of one's own, due for review at once, until the source is
            // told.
            migrationBuilder.Sql("""
                UPDATE limits SET tag = 'Own', review_on = date('now')
                WHERE tag IN ('Law', 'Label', 'Maker', 'Standard')
                    AND (reference IS NULL OR length(trim(reference)) < 3)
                """);
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropColumn(
                name: "reason",
                table: "limits");

            migrationBuilder.DropColumn(
                name: "review_on",
                table: "limits");
        }
    }
}
