using System.ComponentModel.DataAnnotations;

namespace AgeWatch.Server.Kernel.Settings;

/// <summary>Which half of the server this process is. Both serve the health routes.</summary>
internal sealed record RoleOptions
{
    [RegularExpression("api|worker|both", ErrorMessage = "AGEWATCH_ROLE must be api, worker or both.")]
    public string Role { get; init; } = "both";

    public bool IsApi => Role is "api" or "both";

    public bool IsWorker => Role is "worker" or "both";
}
