namespace AgeWatch.Server.Answers;

/// <summary>A list that costs nothing while it is empty: of most things there are none.</summary>
internal struct RowList<T>
{
    private List<T>? _rows;

    public readonly IReadOnlyList<T> Rows => _rows ?? (IReadOnlyList<T>)[];

    public void Add(T row) => (_rows ??= new(1)).Add(row);

    public readonly void Sort(Comparison<T> order) => _rows?.Sort(order);
}
