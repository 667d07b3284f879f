using System.ComponentModel.DataAnnotations;
using AgeWatch.Core.Marks.Vins;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Resources.Calculations;

/// <param name="Light">A passenger car, or another vehicle up to 4,536 kg gross.</param>
internal sealed record VinRequest(
    [StringLength(120, MinimumLength = 1), OneLine] string Vin,
    [RegularExpression(
        "[A-Z]{2}", ErrorMessage = "Must be two capital letters (ISO 3166-1 alpha-2).")] string? Country = null,
    bool? Light = null);

internal sealed record VinReply(
    string Text,
    VinVerdict Verdict,
    string? ComputedCheckDigit,
    bool? CheckDigitMatches,
    IReadOnlyList<int> ModelYears,
    IReadOnlyList<VinFault> Faults,
    IReadOnlyList<string> Notes)
{
    public static VinReply From(VinReading v) => new(
        v.Text, v.Verdict, v.ComputedCheckDigit?.ToString(), v.CheckDigitMatches, v.ModelYears, v.Faults, v.Notes);
}
