using AgeWatch.Core.Catalogue;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Kernel.Checks;

internal static class PartKindCheck
{
    public static FieldError? Objection(string partKind) => PartCatalogue.BuiltIn.Find(partKind) is null
        ? new(UnknownKind.Code, UnknownKind.Detail(partKind), "#/partKind")
        : null;
}
