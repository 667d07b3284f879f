using System.Collections.Immutable;
using System.Reflection.Emit;
using System.Reflection.Metadata;
using System.Reflection.Metadata.Ecma335;
using System.Reflection.PortableExecutable;
using System.Text.RegularExpressions;

namespace AgeWatch.Server.Tests.Architecture;

/// <param name="From">Type and method as the source has them, without namespace: <c>FactWriter.SaveAsync</c>.</param>
/// <param name="To">Type and method that are called or handed on as a delegate.</param>
/// <param name="Of">The type arguments of a generic method.</param>
internal sealed record CompiledCall(string From, string To, IReadOnlyList<string> Of);

/// <summary>Reads the calls out of an assembly. What the compiler makes of an async method, an iterator or a lambda
/// counts as a part of the method that it stands in.</summary>
internal static partial class CompiledCalls
{
    private static readonly Dictionary<int, OpCode> OpCodesByValue = typeof(OpCodes).GetFields()
        .Select(field => (OpCode)field.GetValue(null)!)
        .ToDictionary(code => code.Value & 0xFFFF);

    public static List<CompiledCall> Read(string assembly)
    {
        using PEReader file = new(File.OpenRead(assembly));
        var metadata = file.GetMetadataReader();
        Names names = new();
        List<CompiledCall> calls = [];
        foreach (var handle in metadata.MethodDefinitions)
        {
            var method = metadata.GetMethodDefinition(handle);
            if (method.RelativeVirtualAddress == 0)
            {
                continue;
            }

            var from = SourceName(metadata, method);
            var code = file.GetMethodBody(method.RelativeVirtualAddress).GetILReader();
            while (code.RemainingBytes > 0)
            {
                if (Next(ref code) is { } token && Target(metadata, token, names) is var (to, of))
                {
                    calls.Add(new(from, to, of));
                }
            }
        }

        return calls;
    }

    // The token of a method that the instruction names; null: it names none.
    private static EntityHandle? Next(ref BlobReader code)
    {
        int value = code.ReadByte();
        var operation = OpCodesByValue[value == 0xFE ? 0xFE00 | code.ReadByte() : value];
        switch (operation.OperandType)
        {
            case OperandType.InlineMethod or OperandType.InlineTok:
                return MetadataTokens.EntityHandle(code.ReadInt32());
            case OperandType.InlineSwitch:
                var targets = code.ReadInt32();
                code.Offset += 4 * targets;
                return null;
            default:
                code.Offset += operation.OperandType switch
                {
                    OperandType.InlineNone => 0,
                    OperandType.ShortInlineBrTarget or OperandType.ShortInlineI or OperandType.ShortInlineVar => 1,
                    OperandType.InlineVar => 2,
                    OperandType.InlineI8 or OperandType.InlineR => 8,
                    _ => 4,
                };
                return null;
        }
    }

    private static (string To, IReadOnlyList<string> Of)? Target(
        MetadataReader metadata, EntityHandle token, Names names)
    {
        switch (token.Kind)
        {
            case HandleKind.MethodSpecification:
                var generic = metadata.GetMethodSpecification((MethodSpecificationHandle)token);
                return Target(metadata, generic.Method, names) is var (to, _)
                    ? (to, generic.DecodeSignature(names, null))
                    : null;
            case HandleKind.MethodDefinition:
                var own = metadata.GetMethodDefinition((MethodDefinitionHandle)token);
                var type = names.GetTypeFromDefinition(metadata, own.GetDeclaringType(), 0);
                return ($"{type}.{metadata.GetString(own.Name)}", []);
            case HandleKind.MemberReference:
                var other = metadata.GetMemberReference((MemberReferenceHandle)token);
                var parent = other.Parent.Kind switch
                {
                    HandleKind.TypeReference =>
                        names.GetTypeFromReference(metadata, (TypeReferenceHandle)other.Parent, 0),
                    HandleKind.TypeDefinition =>
                        names.GetTypeFromDefinition(metadata, (TypeDefinitionHandle)other.Parent, 0),
                    HandleKind.TypeSpecification => metadata
                        .GetTypeSpecification((TypeSpecificationHandle)other.Parent).DecodeSignature(names, null),
                    _ => "?",
                };
                return ($"{parent}.{metadata.GetString(other.Name)}", []);
            default:
                return null;
        }
    }

    private static string SourceName(MetadataReader metadata, MethodDefinition method)
    {
        var name = metadata.GetString(method.Name);
        var written = Written().Match(name) is { Success: true } inName ? inName.Groups[1].Value : null;
        var handle = method.GetDeclaringType();
        while (true)
        {
            var type = metadata.GetTypeDefinition(handle);
            var typeName = metadata.GetString(type.Name);
            if (!typeName.StartsWith('<'))
            {
                return $"{Plain(typeName)}.{written ?? name}";
            }

            written ??= Written().Match(typeName) is { Success: true } inType ? inType.Groups[1].Value : null;
            if (type.GetDeclaringType() is not { IsNil: false } outer)
            {
                return $"{typeName}.{written ?? name}";
            }

            handle = outer;
        }
    }

    private static string Plain(string name) => name.Split('`')[0];

    // In <SaveAsync>d__3, <SaveAsync>b__0 or <<SaveAsync>b__0>d.
    [GeneratedRegex(@"<(\w+)>")]
    private static partial Regex Written();

    /// <summary>Types by their bare names.</summary>
    private sealed class Names : ISignatureTypeProvider<string, object?>
    {
        public string GetTypeFromDefinition(MetadataReader reader, TypeDefinitionHandle handle, byte rawTypeKind) =>
            Plain(reader.GetString(reader.GetTypeDefinition(handle).Name));

        public string GetTypeFromReference(MetadataReader reader, TypeReferenceHandle handle, byte rawTypeKind) =>
            Plain(reader.GetString(reader.GetTypeReference(handle).Name));

        public string GetTypeFromSpecification(
            MetadataReader reader, object? genericContext, TypeSpecificationHandle handle, byte rawTypeKind) =>
            reader.GetTypeSpecification(handle).DecodeSignature(this, genericContext);

        public string GetGenericInstantiation(string genericType, ImmutableArray<string> typeArguments) => genericType;

        // Which type it stands for only its callers know.
        public string GetGenericMethodParameter(object? genericContext, int index) => $"!!{index}";

        public string GetGenericTypeParameter(object? genericContext, int index) => $"!{index}";

        public string GetPrimitiveType(PrimitiveTypeCode typeCode) => typeCode.ToString();

        public string GetArrayType(string elementType, ArrayShape shape) => $"{elementType}[,]";

        public string GetSZArrayType(string elementType) => $"{elementType}[]";

        public string GetByReferenceType(string elementType) => elementType;

        public string GetPointerType(string elementType) => elementType;

        public string GetPinnedType(string elementType) => elementType;

        public string GetFunctionPointerType(MethodSignature<string> signature) => "function";

        public string GetModifiedType(string modifier, string unmodifiedType, bool isRequired) => unmodifiedType;
    }
}
