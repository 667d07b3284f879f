using System.Diagnostics;
using Npgsql;

namespace AgeWatch.Server.Tests.Fixtures;

/// <summary>A PostgreSQL of our own, from the machine's binaries, in a folder that goes away with it.</summary>
/// <remarks>
/// A small shell owns the server and reads our pipe. When the pipe closes, be it by our end or by our death, it
/// stops the server and removes the folder: a killed test run leaves nothing behind. It runs in a session of its
/// own, so that a signal meant for the test run does not reach it first.
/// </remarks>
public sealed class PostgresCluster : IAsyncDisposable
{
    // $1 binaries, $2 data folder, $3 whether a commit is written out before it is answered. That it is on the disk,
    // too, buys a throw-away cluster nothing.
    private const string Keeper = """
        "$1/initdb" -D "$2" -U agewatch --auth=trust --encoding=UTF8 --locale=C.UTF-8 --locale-provider=icu --icu-locale=en-US --no-sync >&2 || exit 1
        start() {
            "$1/postgres" -D "$2" -k "$2" -c listen_addresses= -c max_connections=300 \
                -c fsync=off -c synchronous_commit=$3 -c full_page_writes=off &
            server=$!
        }
        start "$1" "$2" "$3"
        while read -r _; do kill -QUIT $server; wait $server; start "$1" "$2" "$3"; done
        kill -INT $server
        wait $server
        rm -rf "$2"
        """;

    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    private readonly Process _keeper;
    private readonly List<string> _log = [];

    private PostgresCluster(string binaries, string folder, bool keepsCommits)
    {
        Folder = folder;
        var command = new[] { "sh", "-c", Keeper, "keeper", binaries, folder, keepsCommits ? "on" : "off" };
        var line = new[] { Unprivileged(), Find("setsid") is { } setsid ? [setsid] : [], command }.SelectMany(part =>
            part).ToArray();
        ProcessStartInfo start = new(line[0], line[1..])
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            WorkingDirectory = TempFolder,
        };
        _keeper = Process.Start(start)!;
        _keeper.OutputDataReceived += Note;
        _keeper.ErrorDataReceived += Note;
        _keeper.BeginOutputReadLine();
        _keeper.BeginErrorReadLine();
    }

    /// <summary>The data folder; the server's socket lies in it, out of reach of other users.</summary>
    public string Folder { get; }

    /// <summary>Connects as the superuser to the database <c>postgres</c>.</summary>
    public string ConnectionString => new NpgsqlConnectionStringBuilder
    {
        Host = Folder,
        Username = "agewatch",
        Database = "postgres",
    }.ConnectionString;

    // The server runs as another user when we are root, so the folder must be one that all can reach.
    private static string TempFolder => Environment.IsPrivilegedProcess ? "/tmp" : Path.GetTempPath();

    /// <summary>Where <c>initdb</c> and <c>postgres</c> lie; null when this machine has none.</summary>
    public static string? FindBinaries()
    {
        if (OperatingSystem.IsWindows())
        {
            return null;
        }

        var versions = Directory.Exists("/usr/lib/postgresql")
            ? Directory.GetDirectories("/usr/lib/postgresql")
                .OrderByDescending(folder => int.TryParse(Path.GetFileName(folder), out var version) ? version : 0)
            : Enumerable.Empty<string>();
        return versions.Select(folder => Path.Combine(folder, "bin"))
            .Concat((Environment.GetEnvironmentVariable("PATH") ?? "")
                .Split(':', StringSplitOptions.RemoveEmptyEntries))
            .FirstOrDefault(folder =>
                File.Exists(Path.Combine(folder, "initdb")) && File.Exists(Path.Combine(folder, "postgres")));
    }

    /// <exception cref="InvalidOperationException">It does not start; the message holds the server's own
    /// words.</exception>
    /// <param name="keepsCommits">What was answered outlives a crash of the server.</param>
    public static async Task<PostgresCluster> StartAsync(string binaries, bool keepsCommits = false)
    {
        PostgresCluster cluster = new(
            binaries, Path.Combine(TempFolder, $"agewatch-postgres-{Guid.NewGuid():N}"[..30]), keepsCommits);
        try
        {
            await cluster.WaitAsync();
            return cluster;
        }
        catch
        {
            await cluster.DisposeAsync();
            throw;
        }
    }

    /// <summary>Cuts every connection as a power loss would, and comes back.</summary>
    public async Task CrashAndRestartAsync()
    {
        // The postmaster's file goes away when it ends, so a new one tells the new server from the dying one.
        var file = Path.Combine(Folder, "postmaster.pid");
        var before = await File.ReadAllTextAsync(file);
        await _keeper.StandardInput.WriteLineAsync("restart");
        await _keeper.StandardInput.FlushAsync();
        for (var waited = Stopwatch.StartNew(); waited.Elapsed < Patience; await Task.Delay(20))
        {
            if (File.Exists(file) && await File.ReadAllTextAsync(file) is { Length: > 0 } now && now != before)
            {
                break;
            }
        }

        await WaitAsync();
    }

    public async ValueTask DisposeAsync()
    {
        _keeper.StandardInput.Close();
        using CancellationTokenSource patience = new(Patience);
        try
        {
            await _keeper.WaitForExitAsync(patience.Token);
        }
        finally
        {
            _keeper.Dispose();
        }
    }

    private async Task WaitAsync()
    {
        var connection = new NpgsqlConnectionStringBuilder(ConnectionString) { Pooling = false }.ConnectionString;
        Exception? last = null;
        for (var waited = Stopwatch.StartNew(); waited.Elapsed < Patience && !_keeper.HasExited; await Task.Delay(50))
        {
            try
            {
                await using NpgsqlConnection probe = new(connection);
                await probe.OpenAsync();
                return;
            }
            catch (Exception notYet) when (notYet is NpgsqlException or IOException)
            {
                last = notYet;
            }
        }

        lock (_log)
        {
            throw new InvalidOperationException(
                $"PostgreSQL did not start: {string.Join('\n', _log.TakeLast(20))}", last);
        }
    }

    private void Note(object sender, DataReceivedEventArgs line)
    {
        if (line.Data is { } text)
        {
            lock (_log)
            {
                _log.Add(text);
            }
        }
    }

    // PostgreSQL refuses to run as root.
    private static string[] Unprivileged() =>
        !Environment.IsPrivilegedProcess ? []
        : File.ReadLines("/etc/passwd").Any(user => user.StartsWith("postgres:", StringComparison.Ordinal))
            ? ["setpriv", "--reuid=postgres", "--regid=postgres", "--init-groups", "--"]
            : ["setpriv", "--reuid=nobody", "--regid=nogroup", "--clear-groups", "--"];

    private static string? Find(string program) =>
        (Environment.GetEnvironmentVariable("PATH") ?? "").Split(':')
            .Select(folder => Path.Combine(folder, program))
            .FirstOrDefault(File.Exists);
}
