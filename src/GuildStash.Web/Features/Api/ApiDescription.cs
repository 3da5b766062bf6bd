using System.Text.Json;
using System.Text.Json.Nodes;
using GuildStash.Domain.Intake;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.OpenApi;
using Microsoft.OpenApi;

namespace GuildStash.Web.Features.Api;

/// <summary>The OpenAPI document: the endpoints under /api, their token, and what the types alone don't tell.</summary>
internal static class ApiDescription
{
    private const string SchemeName = "bearer";

    private const string About =
        "Masses are in grams and lengths in metres, as the fields' names say. Errors are problem documents (RFC 9457); a rule that refuses has the stable key \"rule\". "
        + "A POST with the header Idempotency-Key (1 to 200 characters) is done at most once in 24 hours and answers a repetition with its first answer.";

    /// <summary>Query values that are no text; they are read as text, so that what can't be read is answered with a sentence.</summary>
    private static readonly Dictionary<string, JsonSchemaType> QueryTypes = new()
    {
        ["page"] = JsonSchemaType.Integer,
        ["pageSize"] = JsonSchemaType.Integer,
        ["bag"] = JsonSchemaType.Integer,
        ["minMetres"] = JsonSchemaType.Number,
        ["within"] = JsonSchemaType.Number,
        ["washable"] = JsonSchemaType.Boolean,
    };

    public static void Configure(OpenApiOptions options)
    {
        options.ShouldInclude = endpoint => endpoint.RelativePath?.StartsWith("api/", StringComparison.Ordinal) == true;
        options.CreateSchemaReferenceId = type => type.Type is { IsGenericType: true } list && list.GetGenericTypeDefinition() == typeof(PageOf<>)
            ? "PageOf" + list.GetGenericArguments()[0].Name
            : OpenApiOptions.CreateDefaultSchemaReferenceId(type);
        options.AddDocumentTransformer((document, _, _) =>
        {
            document.Info = new OpenApiInfo { Title = "GuildStash", Version = "v1", Description = About };
            document.Components ??= new OpenApiComponents();
            document.AddComponent(SchemeName, new OpenApiSecurityScheme
            {
                Type = SecuritySchemeType.Http,
                Scheme = "bearer",
                Description = "A token that begins with gs_, made on the account page or by the admin command \"token\". It acts as its person.",
            });
            document.Security = [new OpenApiSecurityRequirement { [new OpenApiSecuritySchemeReference(SchemeName, document)] = [] }];
            return Task.CompletedTask;
        });
        options.AddOperationTransformer((operation, context, _) =>
        {
            DescribeQuery(operation);
            if (string.Equals(context.Description.HttpMethod, HttpMethods.Post, StringComparison.OrdinalIgnoreCase))
            {
                AddKeyHeader(operation);
            }

            return Task.CompletedTask;
        });
        options.AddSchemaTransformer((schema, context, _) =>
        {
            DescribeType(schema, Nullable.GetUnderlyingType(context.JsonTypeInfo.Type) ?? context.JsonTypeInfo.Type);
            return Task.CompletedTask;
        });
    }

    private static void DescribeQuery(OpenApiOperation operation)
    {
        foreach (OpenApiParameter parameter in (operation.Parameters ?? []).OfType<OpenApiParameter>().Where(p => p.In == ParameterLocation.Query))
        {
            parameter.Name = JsonNamingPolicy.CamelCase.ConvertName(parameter.Name ?? "");
            if (QueryTypes.TryGetValue(parameter.Name, out JsonSchemaType type))
            {
                parameter.Schema = new OpenApiSchema { Type = type };
            }
        }
    }

    private static void AddKeyHeader(OpenApiOperation operation)
    {
        operation.Parameters ??= [];
        operation.Parameters.Add(new OpenApiParameter
        {
            Name = ApiBody.KeyHeader,
            In = ParameterLocation.Header,
            Description = "Makes a repetition of this request harmless.",
            Schema = new OpenApiSchema { Type = JsonSchemaType.String, MinLength = 1, MaxLength = ApiBody.LongestKey },
        });
    }

    private static void DescribeType(OpenApiSchema schema, Type type)
    {
        if (type == typeof(Conditions))
        {
            schema.Type = JsonSchemaType.String;
            schema.Enum = [.. ConditionRules.Keys(ConditionRules.All).Select(key => JsonValue.Create(key))];
        }
        else if (type == typeof(Tristate))
        {
            schema.Type = JsonSchemaType.Boolean | JsonSchemaType.Null;
            schema.Enum = null;
            schema.Description = "Null where nobody knows; \"yes\", \"no\" and \"unknown\" are also taken.";
        }
        else if (type == typeof(byte[]))
        {
            schema.Format = "binary";
        }
        else if (type == typeof(ProblemDetails))
        {
            schema.Properties ??= new Dictionary<string, IOpenApiSchema>();
            schema.Properties["rule"] = new OpenApiSchema { Type = JsonSchemaType.String, Description = "Stable key of the rule that refused." };
            schema.Properties["errors"] = new OpenApiSchema
            {
                Type = JsonSchemaType.Object,
                Description = "Sentences by field.",
                AdditionalProperties = new OpenApiSchema { Type = JsonSchemaType.Array, Items = new OpenApiSchema { Type = JsonSchemaType.String } },
            };
        }
    }
}
