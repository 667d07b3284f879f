namespace AgeWatch.Server.Resources.Imports;

/// <param name="Entity">The row's own record; null when the row was refused.</param>
/// <param name="Touched">Something of it is new or changed.</param>
/// <param name="VehicleId">The vehicle whose answers may change; null: the shelf, or none.</param>
internal readonly record struct ImportedRow(object? Entity, bool Touched, Guid? VehicleId);
