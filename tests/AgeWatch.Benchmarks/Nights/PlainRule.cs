using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Benchmarks.Nights;

/// <summary>
/// What a skilled user would write instead: due at so many months after the fitted day or at so many kilometres by the
/// average of the readings, whichever comes first; no mark, no doubt, no reason. Once as one SQL statement, once in
/// naive EF.
/// </summary>
internal static class PlainRule
{
    public const int Months = 72;
    public const int Kilometres = 60_000;
    public const int WarningDays = 60;

    public static async Task PrepareAsync(AgeWatchContext db, CancellationToken stop)
    {
        await db.Database.ExecuteSqlRawAsync(
            "CREATE TABLE plain_due (subject_id uuid PRIMARY KEY, state text NOT NULL, due_on date NOT NULL)", stop);
    }

    /// <returns>Rows written.</returns>
    public static Task<int> BySqlAsync(AgeWatchContext db, DateOnly day, CancellationToken stop) =>
        SqlAsync(db, db.IsPostgres() ? Postgres : Sqlite, day, stop);

    /// <summary>All of the way but the work: what is timed then does not pay for the first time.</summary>
    public static Task ExplainAsync(AgeWatchContext db, DateOnly day, CancellationToken stop) =>
        SqlAsync(db, db.IsPostgres() ? "EXPLAIN " + Postgres : "EXPLAIN " + Sqlite, day, stop);

    private static Task<int> SqlAsync(AgeWatchContext db, string sql, DateOnly day, CancellationToken stop) =>
        db.Database.ExecuteSqlRawAsync(sql, [day, Months, Kilometres, WarningDays, BenchClub.WarmUp], stop);

    /// <returns>Rows written.</returns>
    public static async Task<int> ByNaiveEfAsync(AgeWatchContext db, DateOnly day, CancellationToken stop)
    {
        await using PlainContext plain = new(db.IsPostgres(), db.Database.GetConnectionString()!);
        var components = await db.Components.Where(c => c.ClubId != BenchClub.WarmUp).ToListAsync(stop);
        var fittings = await db.Fittings.ToDictionaryAsync(f => f.ComponentId, stop);
        var readings = (await db.OdometerReadings.ToListAsync(stop)).ToLookup(r => r.VehicleId);
        var states = await plain.Due.ToDictionaryAsync(d => d.SubjectId, stop);
        foreach (var component in components)
        {
            var fitting = fittings[component.Id];
            var of = readings[component.VehicleId!.Value].OrderBy(r => r.ReadOn).ToList();
            var perDay = (of[^1]
                .Thousandths - of[0]
                .Thousandths) / 1000m / (of[^1]
                .ReadOn.DayNumber - of[0]
                .ReadOn.DayNumber);
            var due = fitting.FittedOn!.Value.AddMonths(Months);
            if (fitting.FittedThousandths is { } fitted)
            {
                var left = Kilometres - (of[^1].Thousandths - fitted) / 1000m;
                var byDistance = of[^1].ReadOn.AddDays((int)Math.Floor(left / perDay));
                due = byDistance < due ? byDistance : due;
            }

            var state = due <= day ? "overdue" : due.AddDays(-WarningDays) <= day ? "due-soon" : "in-life";
            if (!states.TryGetValue(component.Id, out var row))
            {
                plain.Add(new PlainDue { SubjectId = component.Id, State = state, DueOn = due });
            }
            else
            {
                (row.State, row.DueOn) = (state, due);
            }
        }

        return await plain.SaveChangesAsync(stop);
    }

    private const string Postgres = """
        WITH usage AS (
            SELECT vehicle_id, max(read_on) AS last_on, max(thousandths) / 1000 AS last_km,
                (max(thousandths) - min(thousandths)) / 1000.0 / (max(read_on) - min(read_on)) AS per_day
            FROM odometer_readings WHERE club_id <> {4} GROUP BY vehicle_id),
        plain AS (
            SELECT c.id, least(
                (f.fitted_on + make_interval(months => {1}))::date,
                u.last_on + floor(({2} - (u.last_km - f.fitted_thousandths / 1000)) / u.per_day)::int) AS due_on
            FROM components c JOIN fittings f ON f.club_id = c.club_id AND f.component_id = c.id
            JOIN usage u ON u.vehicle_id = c.vehicle_id),
        judged AS (
            SELECT id, due_on, CASE WHEN due_on <= {0} THEN 'overdue' WHEN due_on - {3} <= {0} THEN 'due-soon' ELSE 'in-life' END AS state FROM plain)
        INSERT INTO plain_due SELECT id, state, due_on FROM judged
        ON CONFLICT (subject_id) DO UPDATE SET state = excluded.state, due_on = excluded.due_on
        WHERE (plain_due.state, plain_due.due_on) IS DISTINCT FROM (excluded.state, excluded.due_on)
        """;

    private const string Sqlite = """
        WITH usage AS (
            SELECT vehicle_id, max(read_on) AS last_on, max(thousandths) / 1000 AS last_km,
                (max(thousandths) - min(thousandths)) / 1000.0 / (julianday(max(read_on)) - julianday(min(read_on))) AS per_day
            FROM odometer_readings WHERE club_id <> {4} GROUP BY vehicle_id),
        plain AS (
            SELECT c.id, min(
                date(f.fitted_on, '+' || {1} || ' months'),
                coalesce(date(u.last_on, '+' || CAST(({2} - (u.last_km - f.fitted_thousandths / 1000)) / u.per_day AS INTEGER) || ' days'), '9999-12-31')) AS due_on
            FROM components c JOIN fittings f ON f.club_id = c.club_id AND f.component_id = c.id
            JOIN usage u ON u.vehicle_id = c.vehicle_id),
        judged AS (
            SELECT id, due_on, CASE WHEN due_on <= {0} THEN 'overdue' WHEN date(due_on, '-' || {3} || ' days') <= {0} THEN 'due-soon' ELSE 'in-life' END AS state FROM plain)
        INSERT INTO plain_due SELECT id, state, due_on FROM judged WHERE true
        ON CONFLICT (subject_id) DO UPDATE SET state = excluded.state, due_on = excluded.due_on
        WHERE plain_due.state <> excluded.state OR plain_due.due_on <> excluded.due_on
        """;

    internal sealed class PlainDue
    {
        public required Guid SubjectId { get; init; }

        public required string State { get; set; }

        public required DateOnly DueOn { get; set; }
    }

    private sealed class PlainContext(bool isPostgres, string connection) : DbContext
    {
        public DbSet<PlainDue> Due => Set<PlainDue>();

        protected override void OnConfiguring(DbContextOptionsBuilder optionsBuilder) =>
            optionsBuilder.UseAgeWatch(isPostgres ? DatabaseKind.Postgres : DatabaseKind.Sqlite, connection);

        protected override void OnModelCreating(ModelBuilder modelBuilder) =>
            modelBuilder.Entity<PlainDue>().ToTable("plain_due").HasKey(d => d.SubjectId);
    }
}
