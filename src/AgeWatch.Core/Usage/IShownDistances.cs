namespace AgeWatch.Core.Usage;

/// <summary>A part or task whose record says what the odometer showed whenever something was done.</summary>
public interface IShownDistances
{
    void AddShown(Action<ShownDistance> add);
}
