namespace AgeWatch.Server.Feeds;

internal enum CalendarKind
{
    Event,
    Todo,
}

/// <param name="Kind">event: all-day events, which most calendars show; todo: tasks.</param>
internal sealed record CalendarQuery(CalendarKind Kind = CalendarKind.Event);

/// <param name="Raw">true: text as it is, for programs; else guarded against being run as a formula.</param>
internal sealed record CsvQuery(bool Raw = false);
