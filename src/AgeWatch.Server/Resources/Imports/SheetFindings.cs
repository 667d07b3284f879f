using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Resources.Imports;

/// <summary>One thing that is wrong or odd about a sheet. Lines count from 1, the heading included, as a text editor
/// shows them.</summary>
internal sealed record SheetFault(int Line, string? Column, string Code, string Detail);

/// <summary>What was found while a sheet was read.</summary>
internal sealed class SheetFindings
{
    private const int MostSuggestions = 50;

    private readonly HashSet<DateOrder> _orders = [];
    private readonly List<ImportSuggestion> _suggestions = [];
    private bool _isOrderAsked;

    /// <summary>With one of these nothing is stored.</summary>
    public List<SheetFault> Faults { get; } = [];

    /// <summary>Odd but possible; it is taken.</summary>
    public List<SheetFault> Warnings { get; } = [];

    public IReadOnlyList<ImportSuggestion> Suggestions => _isOrderAsked && _orders is { Count: 1 }
        ? [new("dateOrder", WireNames.Of(_orders.Single())), .. _suggestions]
        : _suggestions;

    public void Suggest(string parameter, string value)
    {
        ImportSuggestion wanted = new(parameter, value);
        if (_suggestions.Count < MostSuggestions && !_suggestions.Contains(wanted))
        {
            _suggestions.Add(wanted);
        }
    }

    /// <summary>A day that can be read in one way only shows in what order the sheet was written.</summary>
    public void Shows(DateOrder order) => _orders.Add(order);

    public void AsksForOrder() => _isOrderAsked = true;
}
