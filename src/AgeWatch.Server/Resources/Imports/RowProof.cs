namespace AgeWatch.Server.Resources.Imports;

/// <summary>Reads every cell of a row for its form, so that all that is wrong with the row is said at once and not one
/// thing for each try.</summary>
internal static class RowProof
{
    private static readonly Dictionary<string, Action<RowReader>> Forms = new()
    {
        [Columns.Reference] = reader => reader.Text(Columns.Reference, 100),
        [Columns.Name] = reader => reader.Text(Columns.Name),
        [Columns.Officer] = reader => reader.YesNo(Columns.Officer),
        [Columns.Unit] = reader => reader.Unit(Columns.Unit),
        [Columns.Built] = reader => reader.Span(Columns.Built),
        [Columns.Registered] = reader => reader.Day(Columns.Registered),
        [Columns.Registration] = reader => reader.Text(Columns.Registration, 32),
        [Columns.Chassis] = reader => reader.Text(Columns.Chassis, 64),
        [Columns.Digits] = reader => reader.Whole(Columns.Digits, 3, 8),
        [Columns.PerYear] = reader => reader.Odometer(Columns.PerYear),
        [Columns.Position] = reader => reader.Text(Columns.Position, 100),
        [Columns.Maker] = reader => reader.Text(Columns.Maker, 100),
        [Columns.PartNumber] = reader => reader.Text(Columns.PartNumber, 100),
        [Columns.Lot] = reader => reader.Text(Columns.Lot, 100),
        [Columns.Original] = reader => reader.YesNo(Columns.Original),
        [Columns.Convention] = reader => reader.Text(Columns.Convention, 64),
        [Columns.SeenOn] = reader => reader.Day(Columns.SeenOn),
        [Columns.DocumentOn] = reader => reader.Day(Columns.DocumentOn),
        [Columns.FittedOn] = reader => reader.Day(Columns.FittedOn),
        [Columns.FittedOdometer] = reader => reader.Odometer(Columns.FittedOdometer),
        [Columns.FittedHours] = reader => reader.Hours(Columns.FittedHours),
        [Columns.LastDoneOn] = reader => reader.Day(Columns.LastDoneOn),
        [Columns.LastDoneOdometer] = reader => reader.Odometer(Columns.LastDoneOdometer),
        [Columns.LastDoneHours] = reader => reader.Hours(Columns.LastDoneHours),
        [Columns.ReadOn] = reader => reader.Day(Columns.ReadOn),
        [Columns.Odometer] = reader => reader.Odometer(Columns.Odometer),
        [Columns.Notes] = reader => reader.Notes(),
    };

    public static void Read(RowReader reader, string record)
    {
        foreach (var (column, read) in Forms)
        {
            if (Columns.Fits(record, column))
            {
                read(reader);
            }
        }
    }
}
