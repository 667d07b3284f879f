using System.Data.Common;
using System.Net.Sockets;
using AgeWatch.Storage;

namespace AgeWatch.Server.Kernel.Settings;

/// <summary>What the operator can mend is told in words; only a fault of ours ends in a stack trace.</summary>
internal static class StartFault
{
    public static string? Of(Exception fault)
    {
        var root = fault.GetBaseException();
        var message = fault is SettingsException or NewerSchemaException or TimeoutException ? fault.Message
            : root is SocketException
            {
                SocketErrorCode: SocketError.AddressAlreadyInUse
                or SocketError.AddressNotAvailable or SocketError.AccessDenied
            }
                ? $"AGEWATCH_URLS: cannot listen there ({root.Message})"
            : root is DbException
                || (root is SocketException
                    && HasDatabaseFault(fault)) ? $"AGEWATCH_DATABASE: the database cannot be used ({root.Message})"
            : fault is OperationCanceledException ? "It was told to stop before it had started."
            : null;
        return message is null ? null : Redaction.Of(message);
    }

    private static bool HasDatabaseFault(Exception? fault) =>
        fault is not null && (fault is DbException || HasDatabaseFault(fault.InnerException));
}
