using System.ComponentModel;
using System.Text.Json.Serialization.Metadata;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>
/// A request whose members code must all name, so that none is forgotten where a row is turned into it, while JSON may
/// leave out those that are nullable or have a <see cref="DefaultValueAttribute"/>.
/// </summary>
[AttributeUsage(AttributeTargets.Class)]
internal sealed class OptionalMembersAttribute : Attribute
{
    /// <summary>To be added to the contracts of the serializer.</summary>
    public static void Apply(JsonTypeInfo type)
    {
        foreach (var property in type.Properties.Where(MayLeaveOut))
        {
            property.IsRequired = false;
        }
    }

    public static bool MayLeaveOut(JsonPropertyInfo property) =>
        property.DeclaringType.IsDefined(typeof(OptionalMembersAttribute), inherit: false)
        && (StrictReader.MayBeNull(property)
            || property.AttributeProvider?.IsDefined(typeof(DefaultValueAttribute), inherit: false) == true);
}
