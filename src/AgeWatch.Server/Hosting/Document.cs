using System.Globalization;
using AgeWatch.Core;
using AgeWatch.Server.Http;
using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.OpenApi;
using Microsoft.OpenApi;

namespace AgeWatch.Server.Hosting;

/// <summary>The OpenAPI document: what the framework finds by itself, and what only we know about every route.</summary>
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
            options.AddDocumentTransformer((document, _, _) => DescribeDocument(document, web));
        });

    private static Task DescribeDocument(OpenApiDocument document, WebOptions web)
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
        foreach (var path in document.Paths.Values)
        {
            path.Operations?.Remove(HttpMethod.Head);
        }

        return Task.CompletedTask;
    }

    private static async Task DescribeOperation(
        OpenApiOperation operation, OpenApiOperationTransformerContext context, CancellationToken stop)
    {
        var metadata = context.Description.ActionDescriptor.EndpointMetadata;
        var isOpen = metadata.OfType<IAllowAnonymous>().Any();
        operation.Parameters ??= [];
        foreach (var parameter in metadata.OfType<QueryParameter>())
        {
            operation.Parameters.Add(new OpenApiParameter
            {
                Name = parameter.Name,
                In = ParameterLocation.Query,
                Required = parameter.IsRequired,
                Description = parameter.Description,
                Schema = await context.GetOrCreateSchemaAsync(parameter.Type, cancellationToken: stop),
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

        operation.Security = isOpen ? [] : [new() { [new OpenApiSecuritySchemeReference(KeyScheme, context.Document)] = [] }];
        operation.Responses ??= [];
        if (metadata.OfType<SendsEntityTag>().Any())
        {
            foreach (var response in operation.Responses.Values.OfType<OpenApiResponse>())
            {
                response.Headers = new Dictionary<string, IOpenApiHeader>
                {
                    ["ETag"] = new OpenApiHeader { Description = "The version.", Schema = new OpenApiSchema { Type = JsonSchemaType.String } },
                };
            }
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
                    [Problem.MediaType] = new() { Schema = new OpenApiSchemaReference(ProblemSchema, context.Document) },
                },
            });
        }
    }

    private static IEnumerable<int> Refusals(OpenApiOperation operation, OpenApiOperationTransformerContext context, bool isOpen)
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

    private static Task DescribeType(OpenApiSchema schema, OpenApiSchemaTransformerContext context, CancellationToken stop)
    {
        var type = Nullable.GetUnderlyingType(context.JsonTypeInfo.Type) ?? context.JsonTypeInfo.Type;
        var orNull = type == context.JsonTypeInfo.Type ? default : JsonSchemaType.Null;
        if (type.IsEnum)
        {
            schema.Type = JsonSchemaType.String | orNull;
            schema.Enum = [.. WireNames.All(type)];
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

        return Task.CompletedTask;
    }
}
