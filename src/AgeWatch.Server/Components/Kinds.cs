using AgeWatch.Core.Catalogue;

namespace AgeWatch.Server.Components;

internal static class Kinds
{
    public static FieldError? Objection(string partKind) => PartCatalogue.BuiltIn.Find(partKind) is null
        ? new("unknown-part-kind", "There is no such kind of part; GET /v1/part-kinds lists them.", "#/partKind")
        : null;

    public static bool IsNeverDeferred(string partKind) => PartCatalogue.BuiltIn.Find(partKind)?.Deferral == DeferralRule.Never;
}
