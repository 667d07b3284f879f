namespace AgeWatch.Core;

public enum DistanceUnit
{
    Kilometre,
    Mile,
}

/// <summary>A length of road, exact: kept in kilometres as a decimal number.</summary>
/// <remarks>1 mi = 1.609344 km exactly (international mile, 1959; the value is from memory of NIST SP 811).</remarks>
public readonly record struct Distance(decimal Kilometres) : IComparable<Distance>
{
    public const decimal KilometresPerMile = 1.609344m;

    public static Distance Zero => default;

    public decimal Miles => Kilometres / KilometresPerMile;

    public static Distance Of(decimal value, DistanceUnit unit) =>
        new(unit == DistanceUnit.Mile ? value * KilometresPerMile : value);

    public decimal In(DistanceUnit unit) => unit == DistanceUnit.Mile ? Miles : Kilometres;

    public int CompareTo(Distance other) => Kilometres.CompareTo(other.Kilometres);

    public static Distance operator +(Distance a, Distance b) => new(a.Kilometres + b.Kilometres);

    public static Distance operator -(Distance a, Distance b) => new(a.Kilometres - b.Kilometres);

    public static bool operator <(Distance a, Distance b) => a.Kilometres < b.Kilometres;

    public static bool operator >(Distance a, Distance b) => a.Kilometres > b.Kilometres;

    public static bool operator <=(Distance a, Distance b) => a.Kilometres <= b.Kilometres;

    public static bool operator >=(Distance a, Distance b) => a.Kilometres >= b.Kilometres;
}
