using System.Runtime.CompilerServices;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;
using DotNet.Testcontainers.Builders;
using Npgsql;
using Testcontainers.PostgreSql;

[assembly: AssemblyFixture(typeof(PostgresFixture))]

namespace AgeWatch.Server.Tests.Fixtures;

/// <summary>The PostgreSQL of this test run, started when the first test asks for it.</summary>
/// <remarks>
/// The first of: the server that AGEWATCH_TEST_POSTGRES names, a container where Docker answers, a cluster of our own
/// from the machine's binaries. With none of them the test is skipped and says why; with AGEWATCH_REQUIRE_POSTGRES=1
/// it fails.
/// </remarks>
public sealed class PostgresFixture : IAsyncDisposable
{
    private static readonly string Run = Guid.NewGuid().ToString("N")[..8];
    private static readonly SemaphoreSlim OneAtATime = new(1);
    private static string? _given;
    private static bool _required;
    private static Task<string>? _server;
    private static string? _template;
    private static int _made;
    private static IAsyncDisposable? _ours;

    /// <summary>
    /// Takes what is meant for the tests out of the environment, and all that is meant for a server: the servers that
    /// the tests start inherit it, and would be set up by it or refuse it.
    /// </summary>
    [ModuleInitializer]
    internal static void TakeVariables()
    {
        _given = Environment.GetEnvironmentVariable("AGEWATCH_TEST_POSTGRES");
        _required = Environment.GetEnvironmentVariable("AGEWATCH_REQUIRE_POSTGRES") is "1" or "true";
        foreach (var name in Environment.GetEnvironmentVariables()
            .Keys.Cast<string>()
            .Where(name => name.StartsWith("AGEWATCH_", StringComparison.Ordinal))
            .ToList())
        {
            Environment.SetEnvironmentVariable(name, null);
        }
    }

    /// <summary>A new database with the schema in it; its connection string.</summary>
    internal static async Task<string> CreateDatabaseAsync()
    {
        await OneAtATime.WaitAsync();
        try
        {
            var server = await ServerAsync();
            _template ??= await MakeTemplateAsync(server);
            var name = $"agewatch_{Run}_{++_made}";
            await ExecuteAsync(server, $"CREATE DATABASE {name} TEMPLATE {_template}");
            return Named(server, name);
        }
        finally
        {
            OneAtATime.Release();
        }
    }

    /// <summary>A new database with nothing in it, as before the very first start.</summary>
    internal static async Task<string> CreateEmptyDatabaseAsync()
    {
        await OneAtATime.WaitAsync();
        try
        {
            var server = await ServerAsync();
            var name = $"agewatch_{Run}_{++_made}";
            await ExecuteAsync(server, $"CREATE DATABASE {name}");
            return Named(server, name);
        }
        finally
        {
            OneAtATime.Release();
        }
    }

    internal static async Task DropDatabaseAsync(string connection)
    {
        await using (NpgsqlConnection pool = new(connection))
        {
            NpgsqlConnection.ClearPool(pool);
        }

        await ExecuteAsync(
            await ServerAsync(),
            $"DROP DATABASE IF EXISTS {new NpgsqlConnectionStringBuilder(connection).Database} WITH (FORCE)");
    }

    /// <summary>The machine's own binaries, for a test that crashes its server and so can take no other.</summary>
    internal static string Binaries() =>
        PostgresCluster.FindBinaries()
            ?? throw Missing("No PostgreSQL that can be crashed: no initdb was found on this machine.", _required);

    /// <summary>Skips the test; where PostgreSQL is required it is the fault to throw.</summary>
    internal static InvalidOperationException Missing(string reason, bool isRequired)
    {
        if (!isRequired)
        {
            Assert.Skip(reason);
        }

        return new(reason + " AGEWATCH_REQUIRE_POSTGRES makes this a failure.");
    }

    public async ValueTask DisposeAsync()
    {
        if (_template is not null && _ours is null)
        {
            await DropDatabaseAsync(Named(await ServerAsync(), _template));
        }

        NpgsqlConnection.ClearAllPools();
        if (_ours is not null)
        {
            await _ours.DisposeAsync();
        }
    }

    // A start that failed is not tried again by every test: the second asks the same task.
    private static Task<string> ServerAsync() => _server ??= StartAsync();

    private static async Task<string> StartAsync()
    {
        if (!string.IsNullOrWhiteSpace(_given))
        {
            return _given;
        }

        List<string> reasons = [];
        try
        {
            var container = new PostgreSqlBuilder("postgres:17-alpine").Build();
            await container.StartAsync();
            _ours = container;
            return container.GetConnectionString();
        }
        catch (DockerUnavailableException)
        {
            reasons.Add("Docker does not answer");
        }

        if (PostgresCluster.FindBinaries() is { } binaries)
        {
            var cluster = await PostgresCluster.StartAsync(binaries);
            _ours = cluster;
            return cluster.ConnectionString;
        }

        reasons.Add("no initdb was found on this machine");
        throw Missing(
            $"No PostgreSQL: {string.Join(", ", reasons)}, and AGEWATCH_TEST_POSTGRES is not set.", _required);
    }

    private static async Task<string> MakeTemplateAsync(string server)
    {
        var name = $"agewatch_{Run}_template";
        await ExecuteAsync(server, $"CREATE DATABASE {name}");
        var connection = new NpgsqlConnectionStringBuilder(Named(server, name)) { Pooling = false }.ConnectionString;
        await using var db = TestDatabase.Open(DatabaseKind.Postgres, connection);
        await db.MigrateSafelyAsync(CancellationToken.None);
        return name;
    }

    private static async Task ExecuteAsync(string server, string sql)
    {
        await using NpgsqlConnection connection = new(server);
        await connection.OpenAsync();
        await using var command = connection.CreateCommand();
        command.CommandText = sql;
        await command.ExecuteNonQueryAsync();
    }

    private static string Named(string server, string database) =>
        new NpgsqlConnectionStringBuilder(server) { Database = database }.ConnectionString;
}
