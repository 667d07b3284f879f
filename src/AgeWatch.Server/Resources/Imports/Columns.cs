namespace AgeWatch.Server.Resources.Imports;

/// <summary>The columns a sheet may have; Demo/README.md explains each.</summary>
internal static class Columns
{
    public const string Record = "record";
    public const string Reference = "reference";
    public const string Member = "member";
    public const string Name = "name";
    public const string Email = "email";
    public const string Officer = "officer";
    public const string Vehicle = "vehicle";
    public const string Kind = "kind";
    public const string Built = "built";
    public const string Country = "country";
    public const string Unit = "unit";
    public const string Registered = "registered on";
    public const string Registration = "registration";
    public const string Chassis = "chassis";
    public const string Storage = "storage";
    public const string Digits = "digits";
    public const string PerYear = "per year";
    public const string PartKind = "part kind";
    public const string Position = "position";
    public const string Maker = "maker";
    public const string PartNumber = "part number";
    public const string Lot = "lot";
    public const string Original = "original";
    public const string Mark = "mark";
    public const string Convention = "convention";
    public const string SeenOn = "seen on";
    public const string DocumentOn = "document on";
    public const string FittedOn = "fitted on";
    public const string FittedOdometer = "fitted odometer";
    public const string FittedHours = "fitted hours";
    public const string LastDoneOn = "last done on";
    public const string LastDoneOdometer = "last done odometer";
    public const string LastDoneHours = "last done hours";
    public const string ReadOn = "read on";
    public const string Odometer = "odometer";
    public const string Notes = "notes";

    public static readonly IReadOnlyList<string> All =
    [
        Record, Reference, Member, Name, Email, Officer, Vehicle, Kind, Built, Country, Unit, Registered, Registration,
        Chassis,
        Storage, Digits, PerYear, PartKind, Position, Maker, PartNumber, Lot, Original, Mark, Convention, SeenOn,
        DocumentOn, FittedOn,
        FittedOdometer, FittedHours, LastDoneOn, LastDoneOdometer, LastDoneHours, ReadOn, Odometer, Notes,
    ];

    private static readonly Dictionary<string, HashSet<string>> ByRecord = new()
    {
        ["member"] = [Record, Reference, Member, Name, Email, Officer, Unit],
        ["vehicle"] =
        [
            Record, Reference, Vehicle, Member, Name, Kind, Built, Country, Unit, Registered, Registration, Chassis,
            Storage, Digits,
            PerYear, Notes,
        ],
        ["reading"] = [Record, Vehicle, ReadOn, Odometer, Unit],
        ["component"] =
        [
            Record, Reference, Vehicle, PartKind, Position, Maker, PartNumber, Lot, Original, Mark, Convention, SeenOn,
            DocumentOn,
            FittedOn, FittedOdometer, FittedHours, Notes,
        ],
        ["task"] = [Record, Reference, Vehicle, Name, PartKind, LastDoneOn, LastDoneOdometer, LastDoneHours, Notes],
    };

    /// <summary>The kinds of record, in the order in which they are taken: later ones point to earlier ones.</summary>
    public static readonly string[] Records = [.. ByRecord.Keys];

    /// <summary>Whether a row of this record says something in this column. A filled cell that says nothing is refused,
    /// or it would be lost.</summary>
    public static bool Fits(string record, string column) => ByRecord[record].Contains(column);
}
