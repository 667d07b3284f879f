using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Server.Kernel.Http;
using Microsoft.AspNetCore.Http.HttpResults;

namespace AgeWatch.Server.Resources.PartKinds;

/// <summary>The catalogue, read only.</summary>
internal static class PartKindEndpoints
{
    public static void MapPartKinds(this IEndpointRouteBuilder v1)
    {
        var kinds = v1.MapResource(
            "/part-kinds", "Catalogue", "Kinds of age-limited parts and tasks, with the source of every number.");
        kinds.MapGet("", List).ForReaders().Named("listPartKinds", "The kinds of parts and tasks");
        kinds.MapGet("/{key}", Get)
            .ForReaders()
            .Named("getPartKind", "One kind, with its references and cautions in full");
    }

    private static Page<PartKind> List(Query<PartKindFilter> query, PageQuery page)
    {
        var filter = query.Value;
        var kinds = PartCatalogue.BuiltIn.All
            .Where(k => filter.System is null || k.System == filter.System)
            .Where(k => filter.Hazard is null || k.Hazard.Class == filter.Hazard)
            .Where(k => filter.Core is null || k.Core == filter.Core);
        return page.Read(kinds, Keyset.By((PartKind k) => k.Key), k => k);
    }

    private static Results<Tagged<PartKindReply>, Problem> Get(string key) =>
        PartCatalogue.BuiltIn.Find(key) is { } kind ? Reply.Of(PartKindReply.From(kind)) : Problems.NotFound();
}

/// <param name="System">For example brakes, fuel, tyres-wheels.</param>
/// <param name="Core">true: kinds that nearly every old car has.</param>
internal sealed record PartKindFilter(string? System = null, HazardClass? Hazard = null, bool? Core = null);

internal sealed record PartKindReply(
    PartKind Kind,
    IReadOnlyList<Reference> References,
    IReadOnlyList<Threshold> Thresholds,
    IReadOnlyList<CountryLaw> Laws,
    IReadOnlyList<Caution> Cautions,
    string RuleVersion)
{
    public static PartKindReply From(PartKind kind)
    {
        var catalogue = PartCatalogue.BuiltIn;
        var laws = catalogue.Laws.Where(l => l.PartKind == kind.Key).ToList();
        var ids = kind.Citations
            .Concat(kind.Limits.Select(l => l.Reference))
            .Concat(laws.Select(l => l.Reference))
            .OfType<string>().Distinct();
        return new(
            kind,
            [.. ids.Select(catalogue.FindReference).OfType<Reference>()],
            [.. catalogue.ThresholdsFor(kind.Key)],
            laws,
            [.. kind.Cautions.Select(catalogue.FindCaution).OfType<Caution>()],
            catalogue.Version);
    }
}
