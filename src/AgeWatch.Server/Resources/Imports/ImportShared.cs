using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Server.Kernel.Checks;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Resources.Imports;

internal static class ImportShared
{
    /// <summary>Who is written down as having noted what a sheet says.</summary>
    public const string Noter = "import";

    public static Vehicle? FindVehicle(RowReader reader, ImportRecords book) =>
        reader.Required(Columns.Vehicle, 100) is not { } name ? null
        : book.FindVehicle(name) ?? reader.Wrong<Vehicle>(
            Columns.Vehicle, "no-such-vehicle",
            "There is no vehicle with this reference or registration, neither in this sheet nor in the club.");

    /// <summary>It is kept as it was written; mostly it is a slip.</summary>
    public static void WarnOfUnit(RowReader reader, string column, DistanceUnit? unit, Vehicle vehicle)
    {
        if (unit is { } said && said != vehicle.DistanceUnit)
        {
            reader.Warn(
                column, "other-unit",
                $"The vehicle's instrument shows {WireNames.Of(vehicle.DistanceUnit)}; is this really in "
                    + $"{WireNames.Of(said)}?");
        }
    }

    /// <summary>By key, or by the catalogue's own name.</summary>
    public static PartKind? FindKind(RowReader reader) =>
        reader.Required(Columns.PartKind, 100) is not { } text ? null
        : PartCatalogue.BuiltIn.Find(text)
            ?? PartCatalogue.BuiltIn.All.FirstOrDefault(k =>
                string.Equals(k.Name, text, StringComparison.OrdinalIgnoreCase))
            ?? reader.Wrong<PartKind>(Columns.PartKind, UnknownKind.Code, UnknownKind.Detail(text));
}
