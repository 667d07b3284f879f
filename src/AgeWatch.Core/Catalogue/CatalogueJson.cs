using System.Text.Json;
using System.Text.Json.Serialization;

namespace AgeWatch.Core.Catalogue;

/// <summary>Reads the embedded data. A member that is missing, unknown or of the wrong form throws: the data are
/// ours.</summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
    RespectNullableAnnotations = true,
    Converters =
    [
        typeof(HyphenatedNames<AgeAnchor>), typeof(HyphenatedNames<Comparison>), typeof(HyphenatedNames<DeferralRule>),
        typeof(HyphenatedNames<EndRule>), typeof(HyphenatedNames<HazardClass>), typeof(HyphenatedNames<LifeEnd>),
        typeof(HyphenatedNames<LifeEvent>), typeof(HyphenatedNames<LimitLevel>), typeof(HyphenatedNames<PartForm>),
        typeof(HyphenatedNames<Tag>), typeof(HyphenatedNames<TaskType>), typeof(HyphenatedNames<ThresholdUse>),
        typeof(HyphenatedNames<WarningTime>),
    ])]
[JsonSerializable(typeof(PartKindFile))]
[JsonSerializable(typeof(CautionFile))]
[JsonSerializable(typeof(IReadOnlyList<Reference>))]
[JsonSerializable(typeof(IReadOnlyList<Threshold>))]
[JsonSerializable(typeof(IReadOnlyList<CountryLaw>))]
internal sealed partial class CatalogueJson : JsonSerializerContext;

internal sealed record PartKindFile(string Version, IReadOnlyList<PartKind> PartKinds);

internal sealed record CautionFile(string Closing, IReadOnlyList<Caution> Cautions);

internal sealed class HyphenatedNames<T>()
    : JsonStringEnumConverter<T>(JsonNamingPolicy.KebabCaseLower, allowIntegerValues: false)
    where T : struct, Enum;
