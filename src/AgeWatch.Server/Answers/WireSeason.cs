using System.ComponentModel.DataAnnotations;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Answers;

/// <summary>First and last day of the season, both included, each <c>MM-DD</c>.</summary>
internal sealed record WireSeason(
    [RegularExpression("(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])", ErrorMessage = "Must be MM-DD.")] string From,
    [RegularExpression("(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])", ErrorMessage = "Must be MM-DD.")] string To)
        : IChecked
{
    public void Check(FieldFaults faults)
    {
        CheckDay(nameof(From), From);
        CheckDay(nameof(To), To);

        void CheckDay(string member, string text)
        {
            // A leap year: 29 February is a day of some years.
            if (!DateOnly.TryParseExact($"2024-{text}", "yyyy-MM-dd", out _))
            {
                faults.Add(member, "no-such-day", "There is no such day.");
            }
        }
    }
}
