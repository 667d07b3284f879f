using System.ComponentModel.DataAnnotations;
using System.Globalization;
using System.Text.Json.Nodes;
using AgeWatch.Core;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Pages;
using AgeWatch.Server.Kernel.Settings;
using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.Http.Metadata;
using Microsoft.AspNetCore.OpenApi;
using Microsoft.OpenApi;

namespace AgeWatch.Server.Hosting;

/// <summary>The OpenAPI document: what the framework finds by itself, and what only we know about every
/// route.</summary>
internal static class Document
{
    private const string KeyScheme = "key";
    private const string ProblemSchema = "Problem";

    public static void AddAgeWatchDocument(this IServiceCollection services, WebOptions web) =>
        services.AddOpenApi("v1", options =>
        {
            options.OpenApiVersion = OpenApiSpecVersion.OpenApi3_1;
            options.CreateSchemaReferenceId = type => type.Type == typeof(ProblemReply)
                ? ProblemSchema
                : OpenApiOptions.CreateDefaultSchemaReferenceId(type);
            options.AddSchemaTransformer(DescribeType);
            options.AddOperationTransformer(DescribeOperation);
            options.AddDocumentTransformer((document, context, _) => DescribeDocument(document, context, web));
            options.AddDocumentTransformer((document, _, stop) => DropUnusedAsync(document, stop));
        });

    private static Task DescribeDocument(
        OpenApiDocument document, OpenApiDocumentTransformerContext context, WebOptions web)
    {
        document.Info = new()
        {
            Title = "AgeWatch",
            Version = "1",
            Description = "How old each age-limited part of an old car really is, and what is due. "
                + "Values of enumerations may be added: clients must accept ones they do not know. "
                + "Members may be added to replies. Unknown members and parameters of requests are refused.",
            License = new() { Name = "Apache-2.0", Identifier = "Apache-2.0" },
        };

        // Said outright, so that the document is the same wherever it is made.
        document.Servers = [new() { Url = web.PublicBase ?? WebOptions.DefaultUrls }];
        document.Components ??= new();
        document.Components.SecuritySchemes ??= new Dictionary<string, IOpenApiSecurityScheme>();
        document.Components.SecuritySchemes[KeyScheme] = new OpenApiSecurityScheme
        {
            Type = SecuritySchemeType.Http,
            Scheme = "bearer",
            BearerFormat = KeyText.Prefix + "…",
            Description = "A key of the club.",
        };
        document.Tags = context.DescriptionGroups.SelectMany(group => group.Items)
            .SelectMany(item => item.ActionDescriptor.EndpointMetadata.OfType<ResourceTag>())
            .DistinctBy(tag => tag.Name)
            .Select(tag => new OpenApiTag { Name = tag.Name, Description = tag.Description })
            .ToHashSet();
        foreach (var path in document.Paths.Values)
        {
            path.Operations?.Remove(HttpMethod.Head);
        }

        // The framework says "or null" where a shared enumeration is used; said in it too, null would fit twice.
        foreach (var shared in (document.Components.Schemas ?? new Dictionary<string, IOpenApiSchema>()).Values
            .OfType<OpenApiSchema>().Where(schema => schema.Enum is { Count: > 0 }))
        {
            shared.Type &= ~JsonSchemaType.Null;
            shared.Enum = [.. shared.Enum!.Where(value =>
                value is not null && !JsonNullSentinel.IsJsonNullSentinel(value))];
        }

        return Task.CompletedTask;
    }

    // A PATCH body is described member by member, so the record it comes from can stay behind unused.
    private static async Task DropUnusedAsync(OpenApiDocument document, CancellationToken stop)
    {
        for (var dropped = 1; dropped > 0 && document.Components?.Schemas is { } schemas;)
        {
            var written = await document.SerializeAsJsonAsync(OpenApiSpecVersion.OpenApi3_1, stop);
            var unused = schemas.Keys.Where(name =>
                !written.Contains($"\"#/components/schemas/{name}\"", StringComparison.Ordinal)).ToList();
            unused.ForEach(name => schemas.Remove(name));
            dropped = unused.Count;
        }
    }

    private static async Task DescribeOperation(
        OpenApiOperation operation, OpenApiOperationTransformerContext context, CancellationToken stop)
    {
        var metadata = context.Description.ActionDescriptor.EndpointMetadata;
        var isOpen = metadata.OfType<IAllowAnonymous>().Any();
        operation.Parameters ??= [];
        foreach (var parameter in metadata.OfType<QueryParameter>())
        {
            var schema = await context.GetOrCreateSchemaAsync(parameter.Type, cancellationToken: stop);
            DescribeRules(schema, parameter.Rules);
            operation.Parameters.Add(new OpenApiParameter
            {
                Name = parameter.Name,
                In = ParameterLocation.Query,
                Required = parameter.IsRequired,
                Description = parameter.Description,
                Schema = schema,
            });
        }

        if (metadata.OfType<RequiresIfMatch>().Any())
        {
            operation.Parameters.Add(new OpenApiParameter
            {
                Name = "If-Match",
                In = ParameterLocation.Header,
                Required = true,
                Description = "The ETag of the version to change, or *.",
                Schema = new OpenApiSchema { Type = JsonSchemaType.String, MaxLength = 1000 },
            });
        }

        if (operation.RequestBody?.Content?.TryGetValue(MergePatch.MediaType, out var patch) == true)
        {
            patch.Schema = await DescribePatch(metadata.OfType<IAcceptsMetadata>().First().RequestType!, context, stop);
        }

        operation.Security = isOpen
            ? []
            : [new() { [new OpenApiSecuritySchemeReference(KeyScheme, context.Document)] = [] }];
        operation.Responses ??= [];
        if (metadata.OfType<SendsEntityTag>().Any())
        {
            foreach (var response in operation.Responses.Values.OfType<OpenApiResponse>())
            {
                response.Headers = new Dictionary<string, IOpenApiHeader>
                {
                    ["ETag"] =
                        new OpenApiHeader
                        {
                            Description = "The version.",
                            Schema = new OpenApiSchema { Type = JsonSchemaType.String }
                        },
                };
            }
        }

        // The framework keeps one body a status, and that is the JSON.
        if (metadata.OfType<Offers>().Any(offers => offers.MediaTypes.Contains(HtmlPage.MediaType))
            && operation.Responses.TryGetValue("200", out var success))
        {
            success.Content?.TryAdd(
                HtmlPage.MediaType, new() { Schema = new OpenApiSchema { Type = JsonSchemaType.String } });
        }

        var problem = await context.GetOrCreateSchemaAsync(typeof(ProblemReply), cancellationToken: stop);
        if (context.Document is { } document)
        {
            document.AddComponent(ProblemSchema, problem);
        }

        foreach (var status in Refusals(operation, context, isOpen))
        {
            operation.Responses.TryAdd(status.ToString(CultureInfo.InvariantCulture), new OpenApiResponse
            {
                Description = Problems.OfStatus(status).Type.Title,
                Content = new Dictionary<string, OpenApiMediaType>
                {
                    [Problem.MediaType] = new()
                    {
                        Schema = new OpenApiSchemaReference(
                        ProblemSchema, context.Document)
                    },
                },
            });
        }
    }

    // A patch may hold any of the members, so it cannot share the schema of the whole.
    private static async Task<OpenApiSchema> DescribePatch(
        Type type, OpenApiOperationTransformerContext context, CancellationToken stop)
    {
        var whole = await context.GetOrCreateSchemaAsync(type, cancellationToken: stop);
        foreach (var member in whole.Properties?.Values.OfType<OpenApiSchema>() ?? [])
        {
            WriteOut(member);
        }

        return new()
        {
            Type = JsonSchemaType.Object,
            Description =
                $"JSON Merge Patch (RFC 7396) of {type.Name}: what is left out stays, null takes an optional member "
                    + $"away.",
            Properties = whole.Properties,
            AdditionalPropertiesAllowed = false,
        };
    }

    private static void DescribeRules(OpenApiSchema schema, IEnumerable<ValidationAttribute> rules)
    {
        foreach (var rule in rules)
        {
            switch (rule)
            {
                case RangeAttribute range:
                    var least = Convert.ToString(range.Minimum, CultureInfo.InvariantCulture);
                    schema.Minimum = range.MinimumIsExclusive ? null : least;
                    schema.ExclusiveMinimum = range.MinimumIsExclusive ? least : null;
                    schema.Maximum = Convert.ToString(range.Maximum, CultureInfo.InvariantCulture);
                    break;

                case StringLengthAttribute length:
                    schema.MinLength = length.MinimumLength > 0 ? length.MinimumLength : null;
                    schema.MaxLength = length.MaximumLength;
                    break;

                case LengthAttribute length when schema.Type?.HasFlag(JsonSchemaType.Array) == true:
                    (schema.MinItems, schema.MaxItems) = (length.MinimumLength, length.MaximumLength);
                    break;

                case LengthAttribute length:
                    (schema.MinLength, schema.MaxLength) = (length.MinimumLength, length.MaximumLength);
                    break;

                case MaxLengthAttribute most when schema.Type?.HasFlag(JsonSchemaType.Array) == true:
                    schema.MaxItems = most.Length;
                    break;

                case MaxLengthAttribute most:
                    schema.MaxLength = most.Length;
                    break;

                case RegularExpressionAttribute pattern:
                    schema.Pattern = $"^(?:{pattern.Pattern})$";
                    break;
            }
        }
    }

    private static IEnumerable<int> Refusals(
        OpenApiOperation operation, OpenApiOperationTransformerContext context, bool isOpen)
    {
        var metadata = context.Description.ActionDescriptor.EndpointMetadata;
        List<int> always = [400, 406, 429, 500];
        return always
            .Concat(isOpen ? [] : [401, 403])
            .Concat(context.Description.RelativePath?.Contains('{', StringComparison.Ordinal) == true ? [404] : [])
            .Concat(operation.RequestBody is null ? [] : [409, 413, 415, 422])
            .Concat(metadata.OfType<RequiresIfMatch>().Any() ? [409, 412, 428] : [])
            .Order();
    }

    private static Task DescribeType(
        OpenApiSchema schema, OpenApiSchemaTransformerContext context, CancellationToken stop)
    {
        var type = Nullable.GetUnderlyingType(context.JsonTypeInfo.Type) ?? context.JsonTypeInfo.Type;
        var orNull = type == context.JsonTypeInfo.Type ? default : JsonSchemaType.Null;
        if (type.IsEnum)
        {
            schema.Type = JsonSchemaType.String | orNull;
            schema.Enum = [.. WireNames.All(type)];
            if (orNull != default)
            {
                schema.Enum.Add(JsonNullSentinel.JsonNull);
            }
        }
        else if (type == typeof(DateSpan))
        {
            schema.Type = JsonSchemaType.String | orNull;
            schema.Description ??= "A day (YYYY-MM-DD), a month (YYYY-MM) or a year (YYYY).";
            schema.MaxLength = 21;
        }
        else if (type == typeof(DateTime))
        {
            schema.Type = JsonSchemaType.String | orNull;
            schema.Format = "date-time";
        }
        else if (type == typeof(ProblemReply))
        {
            schema.AdditionalPropertiesAllowed = true;
        }

        if (context.JsonPropertyInfo is { } property)
        {
            DescribeRules(schema, ValueCheck.RulesOf(property));
            if ((type.IsEnum || type == typeof(DateSpan)) && OptionalMembersAttribute.MayLeaveOut(property))
            {
                WriteOut(schema);
            }
        }

        return Task.CompletedTask;
    }
    // Else the framework refers to a schema that others share, and a patch would lose what is said of its member.
    private static void WriteOut(OpenApiSchema schema)
    {
        if (schema.Metadata is not { } notes)
        {
            return;
        }

        notes.Remove("x-schema-id");
        if (notes.Remove("x-is-nullable-property"))
        {
            schema.Type |= JsonSchemaType.Null;
        }

        schema.Description = notes.TryGetValue("x-ref-description", out var said) ? (string?)said : schema.Description;
        schema.Default = notes.TryGetValue("x-ref-default", out var value) ? (JsonNode?)value : schema.Default;
    }
}
