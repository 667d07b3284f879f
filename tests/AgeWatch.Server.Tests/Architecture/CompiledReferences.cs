using System.Collections.Immutable;
using System.Reflection;
using System.Reflection.Emit;
using System.Reflection.Metadata;
using System.Reflection.Metadata.Ecma335;
using System.Reflection.PortableExecutable;

namespace AgeWatch.Server.Tests.Architecture;

/// <summary>
/// Which of its own types each type of a compiled assembly refers to: in its base, interfaces, fields, signatures,
/// attributes and method bodies. Extension methods and inferred types are seen, which no reading of the text sees;
/// constants and nameof are not, since the compiler has replaced them.
/// </summary>
internal sealed class CompiledReferences : ISignatureTypeProvider<int, object?>
{
    private static readonly Dictionary<int, OpCode> OpCodesByValue = typeof(OpCodes)
        .GetFields(BindingFlags.Public | BindingFlags.Static)
        .Select(field => (OpCode)field.GetValue(null)!)
        .ToDictionary(code => (int)(ushort)code.Value);

    private readonly MetadataReader metadata;
    private readonly PEReader image;
    private readonly HashSet<TypeDefinitionHandle> seen = [];

    private CompiledReferences(PEReader image)
    {
        this.image = image;
        metadata = image.GetMetadataReader();
    }

    /// <summary>Pairs of full names of outermost types, in the order of the assembly, without a type's own.</summary>
    /// <param name="path">The assembly's file.</param>
    public static IReadOnlyList<(string From, string To)> Of(string path)
    {
        using var image = new PEReader(File.OpenRead(path));
        return new CompiledReferences(image).Pairs();
    }

    public int GetArrayType(int elementType, ArrayShape shape) => 0;

    public int GetByReferenceType(int elementType) => 0;

    public int GetFunctionPointerType(MethodSignature<int> signature) => 0;

    public int GetGenericInstantiation(int genericType, ImmutableArray<int> typeArguments) => 0;

    public int GetGenericMethodParameter(object? genericContext, int index) => 0;

    public int GetGenericTypeParameter(object? genericContext, int index) => 0;

    public int GetModifiedType(int modifier, int unmodifiedType, bool isRequired) => 0;

    public int GetPinnedType(int elementType) => 0;

    public int GetPointerType(int elementType) => 0;

    public int GetPrimitiveType(PrimitiveTypeCode typeCode) => 0;

    public int GetSZArrayType(int elementType) => 0;

    public int GetTypeFromDefinition(MetadataReader reader, TypeDefinitionHandle handle, byte rawTypeKind)
    {
        seen.Add(handle);
        return 0;
    }

    public int GetTypeFromReference(MetadataReader reader, TypeReferenceHandle handle, byte rawTypeKind) => 0;

    public int GetTypeFromSpecification(
        MetadataReader reader, object? genericContext, TypeSpecificationHandle handle, byte rawTypeKind) =>
        reader.GetTypeSpecification(handle).DecodeSignature(this, genericContext);

    private List<(string From, string To)> Pairs()
    {
        List<(string From, string To)> pairs = [];
        foreach (var handle in metadata.TypeDefinitions)
        {
            seen.Clear();
            See(metadata.GetTypeDefinition(handle));
            var from = OutermostName(handle);
            pairs.AddRange(seen.Select(OutermostName).Where(to => to != from).Select(to => (from, to)));
        }

        return [.. pairs.Distinct()];
    }

    private string OutermostName(TypeDefinitionHandle handle)
    {
        var type = metadata.GetTypeDefinition(handle);
        return type.GetDeclaringType() is { IsNil: false } outer
            ? OutermostName(outer)
            : metadata.GetString(type.Namespace) + '.' + metadata.GetString(type.Name);
    }

    private void See(TypeDefinition type)
    {
        SeeToken(type.BaseType);
        foreach (var handle in type.GetInterfaceImplementations())
        {
            SeeToken(metadata.GetInterfaceImplementation(handle).Interface);
        }

        foreach (var handle in type.GetFields())
        {
            metadata.GetFieldDefinition(handle).DecodeSignature(this, null);
        }

        See(type.GetCustomAttributes());
        foreach (var handle in type.GetMethods())
        {
            See(metadata.GetMethodDefinition(handle));
        }
    }

    private void See(MethodDefinition method)
    {
        method.DecodeSignature(this, null);
        See(method.GetCustomAttributes());
        if (method.RelativeVirtualAddress == 0)
        {
            return;
        }

        var body = image.GetMethodBody(method.RelativeVirtualAddress);
        if (!body.LocalSignature.IsNil)
        {
            metadata.GetStandaloneSignature(body.LocalSignature).DecodeLocalSignature(this, null);
        }

        SeeInstructions(body.GetILReader());
    }

    private void See(CustomAttributeHandleCollection attributes)
    {
        foreach (var handle in attributes)
        {
            SeeToken(metadata.GetCustomAttribute(handle).Constructor);
        }
    }

    private void SeeInstructions(BlobReader code)
    {
        while (code.RemainingBytes > 0)
        {
            int value = code.ReadByte();
            var operation = OpCodesByValue[value == 0xFE ? 0xFE00 | code.ReadByte() : value];
            switch (operation.OperandType)
            {
                case OperandType.InlineField or OperandType.InlineMethod
                    or OperandType.InlineTok or OperandType.InlineType:
                    SeeToken(MetadataTokens.EntityHandle(code.ReadInt32()));
                    break;
                case OperandType.InlineSwitch:
                    var targets = code.ReadInt32();
                    code.Offset += 4 * targets;
                    break;
                case OperandType.InlineI8 or OperandType.InlineR:
                    code.Offset += 8;
                    break;
                case OperandType.InlineVar:
                    code.Offset += 2;
                    break;
                case OperandType.ShortInlineBrTarget or OperandType.ShortInlineI or OperandType.ShortInlineVar:
                    code.Offset++;
                    break;
                case OperandType.InlineNone:
                    break;
                default:
                    code.Offset += 4;
                    break;
            }
        }
    }

    private void SeeToken(EntityHandle handle)
    {
        if (handle.IsNil)
        {
            return;
        }

        switch (handle.Kind)
        {
            case HandleKind.TypeDefinition:
                seen.Add((TypeDefinitionHandle)handle);
                break;
            case HandleKind.TypeSpecification:
                metadata.GetTypeSpecification((TypeSpecificationHandle)handle).DecodeSignature(this, null);
                break;
            case HandleKind.MethodDefinition:
                seen.Add(metadata.GetMethodDefinition((MethodDefinitionHandle)handle).GetDeclaringType());
                break;
            case HandleKind.FieldDefinition:
                seen.Add(metadata.GetFieldDefinition((FieldDefinitionHandle)handle).GetDeclaringType());
                break;
            case HandleKind.MethodSpecification:
                var generic = metadata.GetMethodSpecification((MethodSpecificationHandle)handle);
                generic.DecodeSignature(this, null);
                SeeToken(generic.Method);
                break;
            case HandleKind.MemberReference:
                var member = metadata.GetMemberReference((MemberReferenceHandle)handle);
                SeeToken(member.Parent);
                if (member.GetKind() == MemberReferenceKind.Method)
                {
                    member.DecodeMethodSignature(this, null);
                }
                else
                {
                    member.DecodeFieldSignature(this, null);
                }

                break;
        }
    }
}
