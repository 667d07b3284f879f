using System.Collections;
using System.Collections.Concurrent;
using System.ComponentModel.DataAnnotations;
using System.Globalization;
using System.Reflection;
using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using AgeWatch.Core.Records;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>A wire record with rules that no single attribute can say.</summary>
internal interface IChecked
{
    void Check(FieldFaults faults);
}

/// <summary>Collects what is wrong with one object; names are the C# names of its members.</summary>
internal sealed class FieldFaults(List<FieldError> errors, string at)
{
    public void Add(string member, string code, string detail) =>
        errors.Add(new(code, detail, JsonAt.Member(at, JsonNamingPolicy.CamelCase.ConvertName(member))));

    public void Add(IEnumerable<Refusal> refusals) => errors.AddRange(refusals.At(at));

    public void AddItem(string member, int index, string code, string detail) =>
        errors.Add(new(
            code, detail, JsonAt.Item(JsonAt.Member(at, JsonNamingPolicy.CamelCase.ConvertName(member)), index)));
}

/// <summary>Text for one line: a name or a subject, which may end up in the header of a mail.</summary>
internal sealed class OneLineAttribute() : ValidationAttribute("Must be one line of text, not blank.")
{
    public override bool IsValid(object? value) => value is not string text || OneLineText.Accepts(text);
}

/// <summary>Checks the values of a record that has the right shape: data annotations, then <see
/// cref="IChecked"/>.</summary>
internal static class ValueCheck
{
    private static readonly ConcurrentDictionary<JsonPropertyInfo, ValidationAttribute[]> Rules = new();

    public static void Collect(object value, List<FieldError> errors, string at = JsonAt.Root)
    {
        if (errors.Count >= StrictReader.MostErrors)
        {
            return;
        }

        var type = WireJson.Options.GetTypeInfo(value.GetType());
        if (type.Kind == JsonTypeInfoKind.Enumerable)
        {
            foreach (var (index, item) in ((IEnumerable)value).Cast<object>().Index())
            {
                Collect(item, errors, JsonAt.Item(at, index));
            }
        }

        if (type.Kind != JsonTypeInfoKind.Object)
        {
            return;
        }

        foreach (var property in type.Properties.Where(property => property.Get is not null))
        {
            if (property.Get!(value) is not { } member)
            {
                continue;
            }

            var here = JsonAt.Member(at, property.Name);
            var context = new ValidationContext(value) { MemberName = property.Name, DisplayName = property.Name };
            errors.AddRange(Rules.GetOrAdd(property, RulesOf)
                .Select(rule => (rule, result: Judge(rule, member, context)))
                .Where(check => check.result != ValidationResult.Success)
                .Select(check =>
                    new FieldError(CodeOf(check.rule), check.result!.ErrorMessage ?? "Is not valid.", here)));
            Collect(member, errors, here);
        }

        (value as IChecked)?.Check(new FieldFaults(errors, at));
    }

    // A range of whole numbers would round a decimal before it looks: -0.4 would pass for 0, and beyond 32 bits it
    // would throw.
    private static ValidationResult? Judge(ValidationAttribute rule, object member, ValidationContext context) =>
        rule is not RangeAttribute range || member is not decimal number ? rule.GetValidationResult(member, context)
        : IsWithin(range, number) ? ValidationResult.Success
        : new(range.FormatErrorMessage(context.DisplayName));

    private static bool IsWithin(RangeAttribute range, decimal number)
    {
        var (least, most) = (
            Convert.ToDecimal(range.Minimum, CultureInfo.InvariantCulture),
            Convert.ToDecimal(range.Maximum, CultureInfo.InvariantCulture));
        return (range.MinimumIsExclusive ? number > least : number >= least)
            && (range.MaximumIsExclusive ? number < most : number <= most);
    }

    /// <summary>A record's attributes sit on the constructor's parameter unless told otherwise.</summary>
    public static ValidationAttribute[] RulesOf(JsonPropertyInfo property) =>
        [.. Of(property.AttributeProvider), .. Of(property.AssociatedParameter?.AttributeProvider)];

    private static IEnumerable<ValidationAttribute> Of(ICustomAttributeProvider? provider) =>
        provider?.GetCustomAttributes(typeof(ValidationAttribute), inherit: true).Cast<ValidationAttribute>() ?? [];

    private static string CodeOf(ValidationAttribute rule) => rule switch
    {
        RangeAttribute => "out-of-range",
        StringLengthAttribute or LengthAttribute or MinLengthAttribute or MaxLengthAttribute => "wrong-length",
        RegularExpressionAttribute => "wrong-format",
        OneLineAttribute => OneLineText.Code,
        _ => "not-valid",
    };
}
