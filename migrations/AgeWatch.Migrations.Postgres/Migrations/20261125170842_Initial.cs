using System;
using Microsoft.EntityFrameworkCore.Migrations;

#nullable disable

namespace AgeWatch.Migrations.Postgres.Migrations
{
    /// <inheritdoc />
    public partial class Initial : Migration
    {
        /// <inheritdoc />
        protected override void Up(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.CreateTable(
                name: "access_hashes",
                columns: table => new
                {
                    hash = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: false),
                    kind = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    target_id = table.Column<Guid>(type: "uuid", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_access_hashes", x => x.hash);
                });

            migrationBuilder.CreateTable(
                name: "clubs",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    name = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    time_zone = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: false),
                    night_minute = table.Column<int>(type: "integer", nullable: false),
                    distance_unit = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_clubs", x => x.club_id);
                    table.CheckConstraint("ck_clubs_night_minute", "night_minute BETWEEN 0 AND 1439");
                });

            migrationBuilder.CreateTable(
                name: "mail_domains",
                columns: table => new
                {
                    domain = table.Column<string>(type: "character varying(254)", maxLength: 254, nullable: false),
                    free_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    times = table.Column<int>(type: "integer", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_mail_domains", x => x.domain);
                });

            migrationBuilder.CreateTable(
                name: "server_secrets",
                columns: table => new
                {
                    name = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: false),
                    value = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_server_secrets", x => x.name);
                });

            migrationBuilder.CreateTable(
                name: "worker_heartbeats",
                columns: table => new
                {
                    worker = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: false),
                    at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_worker_heartbeats", x => x.worker);
                });

            migrationBuilder.CreateTable(
                name: "club_conventions",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    key = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: false),
                    draft = table.Column<string>(type: "text", nullable: false),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_club_conventions", x => new { x.club_id, x.id });
                    table.ForeignKey(
                        name: "fk_club_conventions_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "club_counters",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    name = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    value = table.Column<long>(type: "bigint", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_club_counters", x => new { x.club_id, x.name });
                    table.ForeignKey(
                        name: "fk_club_counters_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "events",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    sequence = table.Column<long>(type: "bigint", nullable: false),
                    type = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: false),
                    at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    subject_id = table.Column<Guid>(type: "uuid", nullable: true),
                    vehicle_id = table.Column<Guid>(type: "uuid", nullable: true),
                    content = table.Column<string>(type: "text", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_events", x => new { x.club_id, x.sequence });
                    table.ForeignKey(
                        name: "fk_events_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "feed_entries",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    subject_id = table.Column<Guid>(type: "uuid", nullable: false),
                    hash = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: false),
                    sequence = table.Column<int>(type: "integer", nullable: false),
                    changed_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_feed_entries", x => new { x.club_id, x.subject_id });
                    table.ForeignKey(
                        name: "fk_feed_entries_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "full_passes",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    rule_version = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: true),
                    under_way = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: true),
                    after = table.Column<Guid>(type: "uuid", nullable: true)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_full_passes", x => x.club_id);
                    table.ForeignKey(
                        name: "fk_full_passes_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "members",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    reference = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: true),
                    name = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    email = table.Column<string>(type: "character varying(254)", maxLength: 254, nullable: true),
                    is_officer = table.Column<bool>(type: "boolean", nullable: false),
                    digest_rhythm = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    digest_weekday = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    distance_unit = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    paused_until = table.Column<DateOnly>(type: "date", nullable: true),
                    unsubscribed_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    mail_suspended_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    mail_suspended_reason = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: true),
                    links_revoked_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_members", x => new { x.club_id, x.id });
                    table.ForeignKey(
                        name: "fk_members_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "night_runs",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    local_date = table.Column<DateOnly>(type: "date", nullable: false),
                    status = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    started_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    finished_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    worker = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: true),
                    heartbeat_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    attempts = table.Column<int>(type: "integer", nullable: false),
                    assessed = table.Column<int>(type: "integer", nullable: false),
                    changed = table.Column<int>(type: "integer", nullable: false),
                    digests = table.Column<int>(type: "integer", nullable: false),
                    error = table.Column<string>(type: "character varying(4000)", maxLength: 4000, nullable: true),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_night_runs", x => new { x.club_id, x.local_date });
                    table.ForeignKey(
                        name: "fk_night_runs_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "usual_distances",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    kind = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    metres = table.Column<long>(type: "bigint", nullable: false),
                    unit = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    note = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: true),
                    updated_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_usual_distances", x => new { x.club_id, x.id });
                    table.ForeignKey(
                        name: "fk_usual_distances_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "digests",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    member_id = table.Column<Guid>(type: "uuid", nullable: false),
                    kind = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    local_date = table.Column<DateOnly>(type: "date", nullable: false),
                    revision = table.Column<int>(type: "integer", nullable: false),
                    recipient = table.Column<string>(type: "character varying(254)", maxLength: 254, nullable: false),
                    subject = table.Column<string>(type: "character varying(500)", maxLength: 500, nullable: false),
                    message_id = table.Column<string>(type: "character varying(250)", maxLength: 250, nullable: false),
                    message = table.Column<byte[]>(type: "bytea", nullable: false),
                    lines = table.Column<int>(type: "integer", nullable: false),
                    rule_version = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    held_back = table.Column<int>(type: "integer", nullable: false),
                    state = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    attempts = table.Column<int>(type: "integer", nullable: false),
                    next_attempt_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    lease_owner = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: true),
                    lease_until = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    accepted_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    last_reply = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: true),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_digests", x => new { x.club_id, x.id });
                    table.ForeignKey(
                        name: "fk_digests_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_digests_members_club_id_member_id",
                        columns: x => new { x.club_id, x.member_id },
                        principalTable: "members",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "keys",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    member_id = table.Column<Guid>(type: "uuid", nullable: true),
                    role = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    name = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    last_four = table.Column<string>(type: "character varying(4)", maxLength: 4, nullable: false),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    expires_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    revoked_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    last_used_on = table.Column<DateOnly>(type: "date", nullable: true),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_keys", x => new { x.club_id, x.id });
                    table.ForeignKey(
                        name: "fk_keys_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_keys_members_club_id_member_id",
                        columns: x => new { x.club_id, x.member_id },
                        principalTable: "members",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "vehicles",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    member_id = table.Column<Guid>(type: "uuid", nullable: true),
                    reference = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: true),
                    name = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    kind = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    built_first = table.Column<DateOnly>(type: "date", nullable: true),
                    built_last = table.Column<DateOnly>(type: "date", nullable: true),
                    country = table.Column<string>(type: "character varying(2)", maxLength: 2, nullable: true),
                    registered_on = table.Column<DateOnly>(type: "date", nullable: true),
                    distance_unit = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    registration = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: true),
                    chassis = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: true),
                    storage = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    declared_metres_per_year = table.Column<long>(type: "bigint", nullable: true),
                    season_from = table.Column<string>(type: "character varying(5)", maxLength: 5, nullable: true),
                    season_to = table.Column<string>(type: "character varying(5)", maxLength: 5, nullable: true),
                    heat_counts = table.Column<bool>(type: "boolean", nullable: false),
                    heat_energy = table.Column<int>(type: "integer", nullable: true),
                    heat_spread = table.Column<int>(type: "integer", nullable: false),
                    heat_reference = table.Column<int>(type: "integer", nullable: false),
                    heat_source = table.Column<string>(type: "character varying(500)", maxLength: 500, nullable: true),
                    gone_on = table.Column<DateOnly>(type: "date", nullable: true),
                    notes = table.Column<string>(type: "character varying(4000)", maxLength: 4000, nullable: true),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    updated_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_vehicles", x => new { x.club_id, x.id });
                    table.CheckConstraint("ck_vehicles_built", "(built_first IS NULL) = (built_last IS NULL) AND (built_first IS NULL OR built_first <= built_last)");
                    table.CheckConstraint("ck_vehicles_heat", "(heat_energy IS NULL) = (heat_source IS NULL)");
                    table.ForeignKey(
                        name: "fk_vehicles_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_vehicles_members_club_id_member_id",
                        columns: x => new { x.club_id, x.member_id },
                        principalTable: "members",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "notices",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    digest_id = table.Column<Guid>(type: "uuid", nullable: false),
                    subject_id = table.Column<Guid>(type: "uuid", nullable: false),
                    state = table.Column<int>(type: "integer", maxLength: 32, nullable: false),
                    certainty = table.Column<int>(type: "integer", maxLength: 32, nullable: false),
                    times = table.Column<int>(type: "integer", nullable: false),
                    shown = table.Column<bool>(type: "boolean", nullable: false),
                    text = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_notices", x => new { x.club_id, x.digest_id, x.subject_id });
                    table.ForeignKey(
                        name: "fk_notices_digests_club_id_digest_id",
                        columns: x => new { x.club_id, x.digest_id },
                        principalTable: "digests",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "components",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    vehicle_id = table.Column<Guid>(type: "uuid", nullable: true),
                    reference = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: true),
                    part_kind = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: false),
                    position = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: true),
                    original = table.Column<bool>(type: "boolean", nullable: false),
                    maker = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: true),
                    part_number = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: true),
                    lot = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: true),
                    place = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    discarded_on = table.Column<DateOnly>(type: "date", nullable: true),
                    discard_reason = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: true),
                    notes = table.Column<string>(type: "character varying(4000)", maxLength: 4000, nullable: true),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    updated_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_components", x => new { x.club_id, x.id });
                    table.CheckConstraint("ck_components_place", "(place = 'Fitted') = (vehicle_id IS NOT NULL)");
                    table.ForeignKey(
                        name: "fk_components_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_components_vehicles_club_id_vehicle_id",
                        columns: x => new { x.club_id, x.vehicle_id },
                        principalTable: "vehicles",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "due_states",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    subject_id = table.Column<Guid>(type: "uuid", nullable: false),
                    subject_kind = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    vehicle_id = table.Column<Guid>(type: "uuid", nullable: true),
                    part_kind = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: false),
                    hazard = table.Column<int>(type: "integer", maxLength: 32, nullable: false),
                    state = table.Column<int>(type: "integer", maxLength: 32, nullable: false),
                    certainty = table.Column<int>(type: "integer", maxLength: 32, nullable: false),
                    due_earliest = table.Column<DateOnly>(type: "date", nullable: true),
                    due_latest = table.Column<DateOnly>(type: "date", nullable: true),
                    as_of = table.Column<DateOnly>(type: "date", nullable: false),
                    next_change_on = table.Column<DateOnly>(type: "date", nullable: true),
                    since = table.Column<DateOnly>(type: "date", nullable: false),
                    rule_version = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_due_states", x => new { x.club_id, x.subject_id });
                    table.ForeignKey(
                        name: "fk_due_states_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_due_states_vehicles_club_id_vehicle_id",
                        columns: x => new { x.club_id, x.vehicle_id },
                        principalTable: "vehicles",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "feeds",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    name = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    member_id = table.Column<Guid>(type: "uuid", nullable: true),
                    vehicle_id = table.Column<Guid>(type: "uuid", nullable: true),
                    least_hazard = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    least_state = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    revoked_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    last_used_on = table.Column<DateOnly>(type: "date", nullable: true),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_feeds", x => new { x.club_id, x.id });
                    table.ForeignKey(
                        name: "fk_feeds_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_feeds_members_club_id_member_id",
                        columns: x => new { x.club_id, x.member_id },
                        principalTable: "members",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_feeds_vehicles_club_id_vehicle_id",
                        columns: x => new { x.club_id, x.vehicle_id },
                        principalTable: "vehicles",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "hour_readings",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    vehicle_id = table.Column<Guid>(type: "uuid", nullable: false),
                    read_on = table.Column<DateOnly>(type: "date", nullable: false),
                    thousandths = table.Column<long>(type: "bigint", nullable: false),
                    noted_by = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: true),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_hour_readings", x => new { x.club_id, x.id });
                    table.CheckConstraint("ck_hour_readings_thousandths", "thousandths >= 0");
                    table.ForeignKey(
                        name: "fk_hour_readings_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_hour_readings_vehicles_club_id_vehicle_id",
                        columns: x => new { x.club_id, x.vehicle_id },
                        principalTable: "vehicles",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "instruments",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    vehicle_id = table.Column<Guid>(type: "uuid", nullable: false),
                    label = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: false),
                    unit = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    digits = table.Column<int>(type: "integer", nullable: false),
                    fitted_on = table.Column<DateOnly>(type: "date", nullable: true),
                    removed_on = table.Column<DateOnly>(type: "date", nullable: true),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_instruments", x => new { x.club_id, x.id });
                    table.CheckConstraint("ck_instruments_digits", "digits BETWEEN 3 AND 8");
                    table.ForeignKey(
                        name: "fk_instruments_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_instruments_vehicles_club_id_vehicle_id",
                        columns: x => new { x.club_id, x.vehicle_id },
                        principalTable: "vehicles",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "service_tasks",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    vehicle_id = table.Column<Guid>(type: "uuid", nullable: false),
                    reference = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: true),
                    part_kind = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: false),
                    label = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: true),
                    notes = table.Column<string>(type: "character varying(4000)", maxLength: 4000, nullable: true),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    updated_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_service_tasks", x => new { x.club_id, x.id });
                    table.ForeignKey(
                        name: "fk_service_tasks_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_service_tasks_vehicles_club_id_vehicle_id",
                        columns: x => new { x.club_id, x.vehicle_id },
                        principalTable: "vehicles",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "subscriptions",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    member_id = table.Column<Guid>(type: "uuid", nullable: false),
                    vehicle_id = table.Column<Guid>(type: "uuid", nullable: true),
                    whole_club = table.Column<bool>(type: "boolean", nullable: false),
                    least_hazard = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    least_state = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    rhythm = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    weekday = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    paused_until = table.Column<DateOnly>(type: "date", nullable: true),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_subscriptions", x => new { x.club_id, x.id });
                    table.ForeignKey(
                        name: "fk_subscriptions_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_subscriptions_members_club_id_member_id",
                        columns: x => new { x.club_id, x.member_id },
                        principalTable: "members",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_subscriptions_vehicles_club_id_vehicle_id",
                        columns: x => new { x.club_id, x.vehicle_id },
                        principalTable: "vehicles",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "vehicle_periods",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    vehicle_id = table.Column<Guid>(type: "uuid", nullable: false),
                    kind = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    from_on = table.Column<DateOnly>(type: "date", nullable: false),
                    until_on = table.Column<DateOnly>(type: "date", nullable: true),
                    metres = table.Column<long>(type: "bigint", nullable: true),
                    milli_celsius = table.Column<int>(type: "integer", nullable: true),
                    name = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: true),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_vehicle_periods", x => new { x.club_id, x.id });
                    table.CheckConstraint("ck_vehicle_periods_order", "until_on IS NULL OR from_on <= until_on");
                    table.ForeignKey(
                        name: "fk_vehicle_periods_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_vehicle_periods_vehicles_club_id_vehicle_id",
                        columns: x => new { x.club_id, x.vehicle_id },
                        principalTable: "vehicles",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "webhooks",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    name = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    url = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: false),
                    event_types = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: false),
                    vehicle_id = table.Column<Guid>(type: "uuid", nullable: true),
                    least_hazard = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    least_state = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    secret = table.Column<string>(type: "character varying(500)", maxLength: 500, nullable: false),
                    previous_secret = table.Column<string>(type: "character varying(500)", maxLength: 500, nullable: true),
                    previous_secret_until = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    disabled_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    disabled_reason = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: true),
                    failing_since = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    delivered_through = table.Column<long>(type: "bigint", nullable: false),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_webhooks", x => new { x.club_id, x.id });
                    table.ForeignKey(
                        name: "fk_webhooks_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_webhooks_vehicles_club_id_vehicle_id",
                        columns: x => new { x.club_id, x.vehicle_id },
                        principalTable: "vehicles",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "evidence",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    component_id = table.Column<Guid>(type: "uuid", nullable: false),
                    kind = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    text = table.Column<string>(type: "character varying(120)", maxLength: 120, nullable: true),
                    convention = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: true),
                    on = table.Column<DateOnly>(type: "date", nullable: true),
                    noted_by = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: true),
                    photo_url = table.Column<string>(type: "character varying(2000)", maxLength: 2000, nullable: true),
                    photo_sha256 = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: true),
                    triangle = table.Column<bool>(type: "boolean", nullable: true),
                    recorded_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    withdrawn_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    withdrawn_reason = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: true),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_evidence", x => new { x.club_id, x.id });
                    table.ForeignKey(
                        name: "fk_evidence_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_evidence_components_club_id_component_id",
                        columns: x => new { x.club_id, x.component_id },
                        principalTable: "components",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "fittings",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    component_id = table.Column<Guid>(type: "uuid", nullable: false),
                    vehicle_id = table.Column<Guid>(type: "uuid", nullable: false),
                    position = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: true),
                    fitted_on = table.Column<DateOnly>(type: "date", nullable: true),
                    fitted_thousandths = table.Column<long>(type: "bigint", nullable: true),
                    fitted_unit = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: true),
                    fitted_hours = table.Column<long>(type: "bigint", nullable: true),
                    taken_off_on = table.Column<DateOnly>(type: "date", nullable: true),
                    taken_off_thousandths = table.Column<long>(type: "bigint", nullable: true),
                    taken_off_unit = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: true),
                    taken_off_hours = table.Column<long>(type: "bigint", nullable: true),
                    taken_off_reason = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: true),
                    noted_by = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: true),
                    recorded_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    swap_id = table.Column<Guid>(type: "uuid", nullable: true),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_fittings", x => new { x.club_id, x.id });
                    table.CheckConstraint("ck_fittings_order", "fitted_on IS NULL OR taken_off_on IS NULL OR fitted_on <= taken_off_on");
                    table.ForeignKey(
                        name: "fk_fittings_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_fittings_components_club_id_component_id",
                        columns: x => new { x.club_id, x.component_id },
                        principalTable: "components",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_fittings_vehicles_club_id_vehicle_id",
                        columns: x => new { x.club_id, x.vehicle_id },
                        principalTable: "vehicles",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Restrict);
                });

            migrationBuilder.CreateTable(
                name: "odometer_readings",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    vehicle_id = table.Column<Guid>(type: "uuid", nullable: false),
                    instrument_id = table.Column<Guid>(type: "uuid", nullable: false),
                    read_on = table.Column<DateOnly>(type: "date", nullable: false),
                    thousandths = table.Column<long>(type: "bigint", nullable: false),
                    noted_by = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: true),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_odometer_readings", x => new { x.club_id, x.id });
                    table.CheckConstraint("ck_odometer_readings_thousandths", "thousandths >= 0");
                    table.ForeignKey(
                        name: "fk_odometer_readings_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_odometer_readings_instruments_club_id_instrument_id",
                        columns: x => new { x.club_id, x.instrument_id },
                        principalTable: "instruments",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_odometer_readings_vehicles_club_id_vehicle_id",
                        columns: x => new { x.club_id, x.vehicle_id },
                        principalTable: "vehicles",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "deferrals",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    component_id = table.Column<Guid>(type: "uuid", nullable: true),
                    service_task_id = table.Column<Guid>(type: "uuid", nullable: true),
                    reason = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: false),
                    person = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: false),
                    decided_on = table.Column<DateOnly>(type: "date", nullable: false),
                    until_on = table.Column<DateOnly>(type: "date", nullable: false),
                    until_thousandths = table.Column<long>(type: "bigint", nullable: false),
                    until_unit = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    ended_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    ended_reason = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: true),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_deferrals", x => new { x.club_id, x.id });
                    table.CheckConstraint("ck_deferrals_subject", "(component_id IS NULL) <> (service_task_id IS NULL)");
                    table.ForeignKey(
                        name: "fk_deferrals_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_deferrals_components_club_id_component_id",
                        columns: x => new { x.club_id, x.component_id },
                        principalTable: "components",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_deferrals_service_tasks_club_id_service_task_id",
                        columns: x => new { x.club_id, x.service_task_id },
                        principalTable: "service_tasks",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "findings",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    component_id = table.Column<Guid>(type: "uuid", nullable: true),
                    service_task_id = table.Column<Guid>(type: "uuid", nullable: true),
                    found_on = table.Column<DateOnly>(type: "date", nullable: false),
                    grade = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    sign = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: true),
                    quantity = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: true),
                    measured_thousandths = table.Column<long>(type: "bigint", nullable: true),
                    unit = table.Column<string>(type: "character varying(16)", maxLength: 16, nullable: true),
                    odometer_thousandths = table.Column<long>(type: "bigint", nullable: true),
                    odometer_unit = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: true),
                    hours = table.Column<long>(type: "bigint", nullable: true),
                    note = table.Column<string>(type: "character varying(4000)", maxLength: 4000, nullable: true),
                    found_by = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: true),
                    recorded_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    withdrawn_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    withdrawn_reason = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: true),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_findings", x => new { x.club_id, x.id });
                    table.CheckConstraint("ck_findings_subject", "(component_id IS NULL) <> (service_task_id IS NULL)");
                    table.ForeignKey(
                        name: "fk_findings_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_findings_components_club_id_component_id",
                        columns: x => new { x.club_id, x.component_id },
                        principalTable: "components",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_findings_service_tasks_club_id_service_task_id",
                        columns: x => new { x.club_id, x.service_task_id },
                        principalTable: "service_tasks",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "limits",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    component_id = table.Column<Guid>(type: "uuid", nullable: true),
                    service_task_id = table.Column<Guid>(type: "uuid", nullable: true),
                    level = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    anchor = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    months = table.Column<int>(type: "integer", nullable: true),
                    metres = table.Column<long>(type: "bigint", nullable: true),
                    unit = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: true),
                    hours = table.Column<int>(type: "integer", nullable: true),
                    last_day = table.Column<DateOnly>(type: "date", nullable: true),
                    end_rule = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    valid_from = table.Column<DateOnly>(type: "date", nullable: true),
                    tag = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    reference = table.Column<string>(type: "character varying(500)", maxLength: 500, nullable: true),
                    noted_by = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: true),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_limits", x => new { x.club_id, x.id });
                    table.CheckConstraint("ck_limits_number", "months IS NOT NULL OR metres IS NOT NULL OR hours IS NOT NULL OR last_day IS NOT NULL");
                    table.CheckConstraint("ck_limits_subject", "(component_id IS NULL) <> (service_task_id IS NULL)");
                    table.ForeignKey(
                        name: "fk_limits_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_limits_components_club_id_component_id",
                        columns: x => new { x.club_id, x.component_id },
                        principalTable: "components",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_limits_service_tasks_club_id_service_task_id",
                        columns: x => new { x.club_id, x.service_task_id },
                        principalTable: "service_tasks",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "service_records",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    service_task_id = table.Column<Guid>(type: "uuid", nullable: false),
                    done_on = table.Column<DateOnly>(type: "date", nullable: false),
                    thousandths = table.Column<long>(type: "bigint", nullable: true),
                    unit = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: true),
                    hours = table.Column<long>(type: "bigint", nullable: true),
                    noted_by = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: true),
                    notes = table.Column<string>(type: "character varying(4000)", maxLength: 4000, nullable: true),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_service_records", x => new { x.club_id, x.id });
                    table.ForeignKey(
                        name: "fk_service_records_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_service_records_service_tasks_club_id_service_task_id",
                        columns: x => new { x.club_id, x.service_task_id },
                        principalTable: "service_tasks",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "walk_notes",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    vehicle_id = table.Column<Guid>(type: "uuid", nullable: false),
                    kind = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    part_kind = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: false),
                    component_id = table.Column<Guid>(type: "uuid", nullable: true),
                    service_task_id = table.Column<Guid>(type: "uuid", nullable: true),
                    seen_on = table.Column<DateOnly>(type: "date", nullable: false),
                    noted_by = table.Column<string>(type: "character varying(200)", maxLength: 200, nullable: true),
                    note = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: true),
                    recorded_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_walk_notes", x => new { x.club_id, x.id });
                    table.ForeignKey(
                        name: "fk_walk_notes_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_walk_notes_components_club_id_component_id",
                        columns: x => new { x.club_id, x.component_id },
                        principalTable: "components",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_walk_notes_service_tasks_club_id_service_task_id",
                        columns: x => new { x.club_id, x.service_task_id },
                        principalTable: "service_tasks",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_walk_notes_vehicles_club_id_vehicle_id",
                        columns: x => new { x.club_id, x.vehicle_id },
                        principalTable: "vehicles",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateTable(
                name: "webhook_deliveries",
                columns: table => new
                {
                    club_id = table.Column<Guid>(type: "uuid", nullable: false),
                    id = table.Column<Guid>(type: "uuid", nullable: false),
                    webhook_id = table.Column<Guid>(type: "uuid", nullable: false),
                    sequence = table.Column<long>(type: "bigint", nullable: false),
                    message_id = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: false),
                    event_type = table.Column<string>(type: "character varying(64)", maxLength: 64, nullable: false),
                    body = table.Column<string>(type: "text", nullable: false),
                    state = table.Column<string>(type: "character varying(32)", maxLength: 32, nullable: false),
                    attempts = table.Column<int>(type: "integer", nullable: false),
                    next_attempt_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    lease_owner = table.Column<string>(type: "character varying(100)", maxLength: 100, nullable: true),
                    lease_until = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    last_status = table.Column<int>(type: "integer", nullable: true),
                    last_reply = table.Column<string>(type: "character varying(1000)", maxLength: 1000, nullable: true),
                    accepted_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: true),
                    created_at = table.Column<DateTime>(type: "timestamp with time zone", nullable: false),
                    version = table.Column<int>(type: "integer", nullable: false)
                },
                constraints: table =>
                {
                    table.PrimaryKey("pk_webhook_deliveries", x => new { x.club_id, x.id });
                    table.ForeignKey(
                        name: "fk_webhook_deliveries_clubs_club_id",
                        column: x => x.club_id,
                        principalTable: "clubs",
                        principalColumn: "club_id",
                        onDelete: ReferentialAction.Cascade);
                    table.ForeignKey(
                        name: "fk_webhook_deliveries_webhooks_club_id_webhook_id",
                        columns: x => new { x.club_id, x.webhook_id },
                        principalTable: "webhooks",
                        principalColumns: new[] { "club_id", "id" },
                        onDelete: ReferentialAction.Cascade);
                });

            migrationBuilder.CreateIndex(
                name: "ix_club_conventions_club_id_key",
                table: "club_conventions",
                columns: new[] { "club_id", "key" },
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_components_club_id_part_kind",
                table: "components",
                columns: new[] { "club_id", "part_kind" });

            migrationBuilder.CreateIndex(
                name: "ix_components_club_id_reference",
                table: "components",
                columns: new[] { "club_id", "reference" },
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_components_club_id_vehicle_id",
                table: "components",
                columns: new[] { "club_id", "vehicle_id" });

            migrationBuilder.CreateIndex(
                name: "ix_deferrals_club_id_component_id",
                table: "deferrals",
                columns: new[] { "club_id", "component_id" });

            migrationBuilder.CreateIndex(
                name: "ix_deferrals_club_id_service_task_id",
                table: "deferrals",
                columns: new[] { "club_id", "service_task_id" });

            migrationBuilder.CreateIndex(
                name: "ix_digests_club_id_member_id_kind_local_date_revision",
                table: "digests",
                columns: new[] { "club_id", "member_id", "kind", "local_date", "revision" },
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_digests_club_id_message_id",
                table: "digests",
                columns: new[] { "club_id", "message_id" });

            migrationBuilder.CreateIndex(
                name: "ix_digests_club_id_state_next_attempt_at",
                table: "digests",
                columns: new[] { "club_id", "state", "next_attempt_at" });

            migrationBuilder.CreateIndex(
                name: "ix_due_states_club_id_hazard_state_subject_id",
                table: "due_states",
                columns: new[] { "club_id", "hazard", "state", "subject_id" });

            migrationBuilder.CreateIndex(
                name: "ix_due_states_club_id_next_change_on",
                table: "due_states",
                columns: new[] { "club_id", "next_change_on" });

            migrationBuilder.CreateIndex(
                name: "ix_due_states_club_id_vehicle_id",
                table: "due_states",
                columns: new[] { "club_id", "vehicle_id" });

            migrationBuilder.CreateIndex(
                name: "ix_evidence_club_id_component_id",
                table: "evidence",
                columns: new[] { "club_id", "component_id" });

            migrationBuilder.CreateIndex(
                name: "ix_feeds_club_id_member_id",
                table: "feeds",
                columns: new[] { "club_id", "member_id" });

            migrationBuilder.CreateIndex(
                name: "ix_feeds_club_id_vehicle_id",
                table: "feeds",
                columns: new[] { "club_id", "vehicle_id" });

            migrationBuilder.CreateIndex(
                name: "ix_findings_club_id_component_id",
                table: "findings",
                columns: new[] { "club_id", "component_id" });

            migrationBuilder.CreateIndex(
                name: "ix_findings_club_id_service_task_id",
                table: "findings",
                columns: new[] { "club_id", "service_task_id" });

            migrationBuilder.CreateIndex(
                name: "ix_fittings_club_id_component_id",
                table: "fittings",
                columns: new[] { "club_id", "component_id" });

            migrationBuilder.CreateIndex(
                name: "ix_fittings_club_id_swap_id",
                table: "fittings",
                columns: new[] { "club_id", "swap_id" });

            migrationBuilder.CreateIndex(
                name: "ix_fittings_club_id_vehicle_id",
                table: "fittings",
                columns: new[] { "club_id", "vehicle_id" });

            migrationBuilder.CreateIndex(
                name: "ix_hour_readings_club_id_vehicle_id_read_on",
                table: "hour_readings",
                columns: new[] { "club_id", "vehicle_id", "read_on" });

            migrationBuilder.CreateIndex(
                name: "ix_instruments_club_id_vehicle_id_label",
                table: "instruments",
                columns: new[] { "club_id", "vehicle_id", "label" },
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_keys_club_id_member_id",
                table: "keys",
                columns: new[] { "club_id", "member_id" });

            migrationBuilder.CreateIndex(
                name: "ix_limits_club_id_component_id",
                table: "limits",
                columns: new[] { "club_id", "component_id" });

            migrationBuilder.CreateIndex(
                name: "ix_limits_club_id_service_task_id",
                table: "limits",
                columns: new[] { "club_id", "service_task_id" });

            migrationBuilder.CreateIndex(
                name: "ix_members_club_id_reference",
                table: "members",
                columns: new[] { "club_id", "reference" },
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_notices_club_id_subject_id",
                table: "notices",
                columns: new[] { "club_id", "subject_id" });

            migrationBuilder.CreateIndex(
                name: "ix_odometer_readings_club_id_instrument_id",
                table: "odometer_readings",
                columns: new[] { "club_id", "instrument_id" });

            migrationBuilder.CreateIndex(
                name: "ix_odometer_readings_club_id_vehicle_id_read_on",
                table: "odometer_readings",
                columns: new[] { "club_id", "vehicle_id", "read_on" });

            migrationBuilder.CreateIndex(
                name: "ix_service_records_club_id_service_task_id_done_on",
                table: "service_records",
                columns: new[] { "club_id", "service_task_id", "done_on" });

            migrationBuilder.CreateIndex(
                name: "ix_service_tasks_club_id_reference",
                table: "service_tasks",
                columns: new[] { "club_id", "reference" },
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_service_tasks_club_id_vehicle_id",
                table: "service_tasks",
                columns: new[] { "club_id", "vehicle_id" });

            migrationBuilder.CreateIndex(
                name: "ix_subscriptions_club_id_member_id",
                table: "subscriptions",
                columns: new[] { "club_id", "member_id" });

            migrationBuilder.CreateIndex(
                name: "ix_subscriptions_club_id_vehicle_id",
                table: "subscriptions",
                columns: new[] { "club_id", "vehicle_id" });

            migrationBuilder.CreateIndex(
                name: "ix_usual_distances_club_id_kind",
                table: "usual_distances",
                columns: new[] { "club_id", "kind" },
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_vehicle_periods_club_id_vehicle_id",
                table: "vehicle_periods",
                columns: new[] { "club_id", "vehicle_id" });

            migrationBuilder.CreateIndex(
                name: "ix_vehicles_club_id_member_id",
                table: "vehicles",
                columns: new[] { "club_id", "member_id" });

            migrationBuilder.CreateIndex(
                name: "ix_vehicles_club_id_reference",
                table: "vehicles",
                columns: new[] { "club_id", "reference" },
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_walk_notes_club_id_component_id",
                table: "walk_notes",
                columns: new[] { "club_id", "component_id" });

            migrationBuilder.CreateIndex(
                name: "ix_walk_notes_club_id_service_task_id",
                table: "walk_notes",
                columns: new[] { "club_id", "service_task_id" });

            migrationBuilder.CreateIndex(
                name: "ix_walk_notes_club_id_vehicle_id",
                table: "walk_notes",
                columns: new[] { "club_id", "vehicle_id" });

            migrationBuilder.CreateIndex(
                name: "ix_webhook_deliveries_club_id_state_next_attempt_at",
                table: "webhook_deliveries",
                columns: new[] { "club_id", "state", "next_attempt_at" });

            migrationBuilder.CreateIndex(
                name: "ix_webhook_deliveries_club_id_webhook_id_message_id",
                table: "webhook_deliveries",
                columns: new[] { "club_id", "webhook_id", "message_id" },
                unique: true);

            migrationBuilder.CreateIndex(
                name: "ix_webhooks_club_id_vehicle_id",
                table: "webhooks",
                columns: new[] { "club_id", "vehicle_id" });
        }

        /// <inheritdoc />
        protected override void Down(MigrationBuilder migrationBuilder)
        {
            migrationBuilder.DropTable(
                name: "access_hashes");

            migrationBuilder.DropTable(
                name: "club_conventions");

            migrationBuilder.DropTable(
                name: "club_counters");

            migrationBuilder.DropTable(
                name: "deferrals");

            migrationBuilder.DropTable(
                name: "due_states");

            migrationBuilder.DropTable(
                name: "events");

            migrationBuilder.DropTable(
                name: "evidence");

            migrationBuilder.DropTable(
                name: "feed_entries");

            migrationBuilder.DropTable(
                name: "feeds");

            migrationBuilder.DropTable(
                name: "findings");

            migrationBuilder.DropTable(
                name: "fittings");

            migrationBuilder.DropTable(
                name: "full_passes");

            migrationBuilder.DropTable(
                name: "hour_readings");

            migrationBuilder.DropTable(
                name: "keys");

            migrationBuilder.DropTable(
                name: "limits");

            migrationBuilder.DropTable(
                name: "mail_domains");

            migrationBuilder.DropTable(
                name: "night_runs");

            migrationBuilder.DropTable(
                name: "notices");

            migrationBuilder.DropTable(
                name: "odometer_readings");

            migrationBuilder.DropTable(
                name: "server_secrets");

            migrationBuilder.DropTable(
                name: "service_records");

            migrationBuilder.DropTable(
                name: "subscriptions");

            migrationBuilder.DropTable(
                name: "usual_distances");

            migrationBuilder.DropTable(
                name: "vehicle_periods");

            migrationBuilder.DropTable(
                name: "walk_notes");

            migrationBuilder.DropTable(
                name: "webhook_deliveries");

            migrationBuilder.DropTable(
                name: "worker_heartbeats");

            migrationBuilder.DropTable(
                name: "digests");

            migrationBuilder.DropTable(
                name: "instruments");

            migrationBuilder.DropTable(
                name: "components");

            migrationBuilder.DropTable(
                name: "service_tasks");

            migrationBuilder.DropTable(
                name: "webhooks");

            migrationBuilder.DropTable(
                name: "vehicles");

            migrationBuilder.DropTable(
                name: "members");

            migrationBuilder.DropTable(
                name: "clubs");
        }
    }
}
