using System.Diagnostics;
using System.Globalization;
using System.Security.Cryptography;

namespace AgeWatch.Server.Nights;

/// <summary>What this process signs its work with; a process started anew has another name, so that it cannot take
/// itself for the dead one.</summary>
internal sealed record WorkerName(string Machine, int ProcessId, string Token, DateTime StartedAt)
{
    private const int LongestMachine = 40;

    public string Value => $"{Machine}-{ProcessId}-{Token}";

    public static WorkerName New(TimeProvider clock)
    {
        var machine = Environment.MachineName;
        return new(
            machine[..Math.Min(machine.Length, LongestMachine)], Environment.ProcessId, NewToken(),
            clock.GetUtcNow().UtcDateTime);
    }

    /// <summary>Whether a holder was a process of this machine that is no more.</summary>
    public bool IsDeadTwin(string holder)
    {
        if (holder.Split('/')[0].Split('-') is not [.. var machine, var id, var token]
            || string.Join('-', machine) != Machine
                || !int.TryParse(id, CultureInfo.InvariantCulture, out var processId))
        {
            return false;
        }

        return processId == ProcessId ? token != Token : !IsRunning(processId);
    }

    /// <summary>Two jobs of one process are two holders.</summary>
    public string ForOneJob() => $"{Value}/{NewToken()}";

    private static string NewToken() => RandomNumberGenerator.GetHexString(8, lowercase: true);

    private static bool IsRunning(int processId)
    {
        try
        {
            using var process = Process.GetProcessById(processId);
            return !process.HasExited;
        }
        catch (ArgumentException)
        {
            return false;
        }
    }
}
