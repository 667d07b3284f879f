using System.Diagnostics;
using System.Net.Http.Headers;
using System.Text;
using System.Text.RegularExpressions;

namespace AgeWatch.Server.Tests.Fixtures;

/// <summary>The built program as a process of its own: it can be killed, and started twice at once.</summary>
public sealed partial class OutOfProcessApp : IAsyncDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(3);

    private readonly Process _process;
    private readonly StringBuilder _output = new();
    private readonly TaskCompletionSource<Uri> _address = new(TaskCreationOptions.RunContinuationsAsynchronously);

    private OutOfProcessApp(string program, IEnumerable<(string Name, string Value)> settings, string[] arguments)
    {
        ProcessStartInfo start = new("dotnet", [program, .. arguments])
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            WorkingDirectory = Path.GetTempPath(),
        };

        // The port is the machine's to choose, and read from the log: one picked beforehand could be taken by then.
        foreach (var (name, value) in settings.Prepend(("AGEWATCH_URLS", "http://127.0.0.1:0")))
        {
            start.Environment[name] = value;
        }

        _process = Process.Start(start)!;
        _process.OutputDataReceived += Note;
        _process.ErrorDataReceived += Note;
        _process.BeginOutputReadLine();
        _process.BeginErrorReadLine();
    }

    /// <summary>All that it wrote so far, errors too.</summary>
    public string Output
    {
        get
        {
            lock (_output)
            {
                return _output.ToString();
            }
        }
    }

    public Uri Address => _address.Task.IsCompletedSuccessfully
        ? _address.Task.Result
        : throw new InvalidOperationException("It does not listen yet.");

    public bool HasExited => _process.HasExited;

    public int ExitCode => _process.ExitCode;

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    /// <summary>Started and left alone: it may be on its way to refuse.</summary>
    public static OutOfProcessApp Launch(
        IEnumerable<(string Name, string Value)> settings, params string[] arguments) =>
        new(typeof(Program).Assembly.Location, settings, arguments);

    /// <summary>The same program with a clock that the test sets, through a file.</summary>
    public static OutOfProcessApp LaunchWithClock(
        string clockFile, IEnumerable<(string Name, string Value)> settings) =>
        new(typeof(TestWorker.SimulatedClock).Assembly.Location, settings, [clockFile]);

    /// <summary>Started and ready.</summary>
    public static async Task<OutOfProcessApp> StartAsync(
        IEnumerable<(string Name, string Value)> settings, params string[] arguments)
    {
        var app = Launch(settings, arguments);
        await app.WaitUntilReadyAsync();
        return app;
    }

    public HttpClient WithKey(string? key = null) => new()
    {
        BaseAddress = Address,
        DefaultRequestHeaders = { Authorization = key is null ? null : new AuthenticationHeaderValue("Bearer", key) },
    };

    /// <exception cref="InvalidOperationException">It ended, or was not ready in time; the message holds its
    /// output.</exception>
    public async Task WaitUntilReadyAsync()
    {
        var waited = Stopwatch.StartNew();
        await Task.WhenAny(_address.Task, _process.WaitForExitAsync(Stop), Task.Delay(Patience, Stop));
        if (_address.Task.IsCompletedSuccessfully)
        {
            using HttpClient client = new() { BaseAddress = Address };
            for (; waited.Elapsed < Patience && !HasExited; await Task.Delay(50, Stop))
            {
                try
                {
                    using var reply = await client.GetAsync("/health/ready", Stop);
                    if (reply.IsSuccessStatusCode)
                    {
                        return;
                    }
                }
                catch (HttpRequestException)
                {
                    // It died between the check above and the question; the loop's condition sees it.
                }
            }
        }

        throw new InvalidOperationException($"The server is not ready: {Output}");
    }

    /// <summary>SIGKILL: no handler runs, nothing is flushed.</summary>
    public async Task KillAsync()
    {
        _process.Kill();
        await _process.WaitForExitAsync(Stop);
    }

    /// <summary>SIGTERM, as a service manager sends it.</summary>
    /// <returns>The exit code.</returns>
    public async Task<int> TerminateAsync()
    {
        if (!HasExited)
        {
            using var kill = Process.Start("kill", ["-TERM", $"{_process.Id}"]);
        }

        return await WaitForExitAsync();
    }

    public async Task<int> WaitForExitAsync()
    {
        using var patience = CancellationTokenSource.CreateLinkedTokenSource(Stop);
        patience.CancelAfter(Patience);
        await _process.WaitForExitAsync(patience.Token);
        return ExitCode;
    }

    public async ValueTask DisposeAsync()
    {
        if (!HasExited)
        {
            _process.Kill();
            await _process.WaitForExitAsync(CancellationToken.None);
        }

        _process.Dispose();
    }

    private void Note(object sender, DataReceivedEventArgs line)
    {
        if (line.Data is not { } text)
        {
            return;
        }

        lock (_output)
        {
            _output.AppendLine(text);
        }

        if (Listening().Match(text) is { Success: true } match)
        {
            _address.TrySetResult(new(match.Groups[1].Value));
        }
    }

    [GeneratedRegex(@"Now listening on: \W*(http://[0-9.:]+)")]
    private static partial Regex Listening();
}
