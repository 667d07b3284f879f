using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Resources.Calculations;

/// <summary>What is known of the vehicle.</summary>
/// <param name="Built">The day, month or year; absent or null: not known.</param>
internal sealed record WireVehicle(
    DateSpan? Built = null,
    [RegularExpression(
        "[A-Z]{2}", ErrorMessage = "Must be two capital letters (ISO 3166-1 alpha-2).")] string? Country = null,
    DistanceUnit DistanceUnit = DistanceUnit.Kilometre,
    DateOnly? RegisteredOn = null,
    IReadOnlyList<StorageCondition>? Storage = null);
