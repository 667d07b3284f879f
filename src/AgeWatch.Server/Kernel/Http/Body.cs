using System.Reflection;
using System.Text.Json;
using Microsoft.AspNetCore.Http.Metadata;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>A JSON body read strictly: 400 names each member of the wrong form, 422 each value that breaks a
/// rule.</summary>
/// <remarks>In a wire record a constructor parameter without default is required, and so is a required member unless
/// <see cref="OptionalMembersAttribute"/> says otherwise; a nullable one may be null.</remarks>
internal sealed class Body<T> : IBindableFromHttpContext<Body<T>>, IEndpointParameterMetadataProvider, IRefusable
    where T : class
{
    private readonly T? _value;

    private Body(T? value, Problem? problem) => (_value, Problem) = (value, problem);

    public T Value => _value!;

    public Problem? Problem { get; }

    public static async ValueTask<Body<T>?> BindAsync(HttpContext context, ParameterInfo parameter)
    {
        var (json, problem) = await RequestBody.ReadJsonAsync(context, "application/json");
        if (json is null)
        {
            return new(null, problem);
        }

        using (json)
        {
            return Read(json.RootElement);
        }
    }

    public static void PopulateMetadata(ParameterInfo parameter, EndpointBuilder builder) =>
        builder.Metadata.Add(new AcceptsMetadata(["application/json"], typeof(T)));

    private static Body<T> Read(JsonElement json)
    {
        List<FieldError> errors = [];
        if (!StrictReader.TryRead<T>(json, errors, out var value))
        {
            return new(null, Problems.MalformedBody(errors));
        }

        ValueCheck.Collect(value, errors);
        return errors.Count > 0 ? new(null, Problems.Invalid(errors)) : new(value, null);
    }
}
