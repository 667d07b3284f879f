using System.Collections.Frozen;
using System.Text.Json;
using System.Text.Json.Serialization.Metadata;

namespace AgeWatch.Core.Catalogue;

/// <summary>The part kinds with their limits, and what those rest on. Immutable, safe on any thread.</summary>
public sealed class PartCatalogue
{
    private static readonly Lazy<PartCatalogue> Embedded = new(Load);

    private readonly FrozenDictionary<string, PartKind> kinds;
    private readonly FrozenDictionary<string, Reference> references;
    private readonly FrozenDictionary<string, Caution> cautions;

    internal PartCatalogue(
        string version,
        IReadOnlyList<PartKind> all,
        IReadOnlyList<Reference> references,
        IReadOnlyList<Threshold> thresholds,
        IReadOnlyList<CountryLaw> laws,
        IReadOnlyList<Caution> cautions)
    {
        Version = version;
        All = [.. all.Select(kind =>
            kind with { Cautions = [.. cautions.Where(c => c.IsCalledForBy(kind)).Select(c => c.Key)] })];
        References = references;
        Thresholds = thresholds;
        Laws = laws;
        Cautions = cautions;

        // Double keys are a fault that Validate names; they must not stop it from being asked.
        kinds = All.DistinctBy(kind => kind.Key).ToFrozenDictionary(kind => kind.Key, StringComparer.Ordinal);
        this.references = references.DistinctBy(r => r.Id).ToFrozenDictionary(r => r.Id, StringComparer.Ordinal);
        this.cautions = cautions.DistinctBy(c => c.Key).ToFrozenDictionary(c => c.Key, StringComparer.Ordinal);
    }

    /// <summary>The catalogue that comes with the program; read on first use.</summary>
    public static PartCatalogue BuiltIn => Embedded.Value;

    /// <summary>Version of the rules, year and number. It changes with every number, so that a changed due day can be
    /// seen as a changed rule.</summary>
    public string Version { get; }

    /// <summary>All kinds, by system, in the order of the data.</summary>
    public IReadOnlyList<PartKind> All { get; }

    public IReadOnlyList<Reference> References { get; }

    public IReadOnlyList<Threshold> Thresholds { get; }

    public IReadOnlyList<CountryLaw> Laws { get; }

    public IReadOnlyList<Caution> Cautions { get; }

    /// <summary>Null when there is none of this key. Keys are case-sensitive.</summary>
    public PartKind? Find(string key) => kinds.GetValueOrDefault(key);

    /// <summary>Null when there is none of this id. Ids are case-sensitive.</summary>
    public Reference? FindReference(string id) => references.GetValueOrDefault(id);

    /// <summary>Null when there is none of this key. Keys are case-sensitive.</summary>
    public Caution? FindCaution(string key) => cautions.GetValueOrDefault(key);

    public IEnumerable<Threshold> ThresholdsFor(string partKind) =>
        Thresholds.Where(t => t.PartKinds.Contains(partKind));

    /// <summary>The laws of a country (ISO 3166-1 alpha-2, upper case) on a kind that are in force on a day. Null: not
    /// known, so none can be named.</summary>
    public IEnumerable<CountryLaw> LawsFor(string partKind, string? country, DateOnly day) =>
        Laws.Where(law => law.PartKind == partKind && law.Country == country && law.IsInForce(day));

    /// <summary>All that is wrong with the data; empty when sound. It is asked once at start.</summary>
    public IReadOnlyList<CatalogueFault> Validate() => CatalogueCheck.Faults(this);

    private static PartCatalogue Load()
    {
        var json = CatalogueJson.Default;
        var kinds = Read("part-kinds.json", json.PartKindFile);
        var cautions = Read("cautions.json", json.CautionFile);
        return new(
            kinds.Version,
            kinds.PartKinds,
            Read("references.json", json.IReadOnlyListReference),
            Read("thresholds.json", json.IReadOnlyListThreshold),
            Read("laws.json", json.IReadOnlyListCountryLaw),
            [.. cautions.Cautions.Select(c => c with { Text = $"{c.Text} {cautions.Closing}" })]);
    }

    private static T Read<T>(string file, JsonTypeInfo<T> type)
    {
        using var stream = typeof(PartCatalogue).Assembly.GetManifestResourceStream(file)
            ?? throw new InvalidOperationException($"The catalogue file {file} is not embedded.");
        return JsonSerializer.Deserialize(stream, type)
            ?? throw new InvalidOperationException($"The catalogue file {file} is empty.");
    }
}
