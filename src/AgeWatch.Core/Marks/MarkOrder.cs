namespace AgeWatch.Core.Marks;

/// <summary>What comes where in a convention's figures; two that differ here can be told apart by one
/// question.</summary>
[Flags]
internal enum MarkOrder
{
    None = 0,
    DayFirst = 1,
    MonthFirst = 2,
    YearFirst = 4,
    YearLast = 8,
    DayNumber = 16,

    /// <summary>A number before the year that is a month, a week or a quarter.</summary>
    OneNumber = 32,
    UsaHose = 64,
    TyreFigures = 128,
    RareTyre = 256,
}
