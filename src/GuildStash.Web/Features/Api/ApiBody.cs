using System.Reflection;
using System.Security.Cryptography;
using System.Text.Json;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Http.Metadata;

namespace GuildStash.Web.Features.Api;

/// <summary>Limits of request bodies, and what a filter needs to know of any of them.</summary>
internal interface IApiBody
{
    /// <summary>Why the body can't be used; null when it can.</summary>
    IResult? Problem { get; }
}

/// <summary>A body that may be left out, as if it were an empty object.</summary>
internal interface IMayBeEmpty;

internal static class ApiBody
{
    /// <summary>A gift with 50 bags takes some 10 kB.</summary>
    public const int MaxBytes = 1024 * 1024;

    /// <summary>From here on the connection is cut instead of answered.</summary>
    public const int CutAtBytes = 8 * MaxBytes;

    public const string KeyHeader = "Idempotency-Key";
    public const int LongestKey = 200;

    /// <summary>Keeps at most <see cref="MaxBytes"/>; the rest is read and dropped, since a sender gets no answer before it has sent all.</summary>
    /// <returns>Null when there is more.</returns>
    public static async Task<byte[]?> ReadAsync(HttpRequest request)
    {
        using MemoryStream bytes = new();
        byte[] buffer = new byte[16 * 1024];
        bool fits = true;
        int read;
        while ((read = await request.Body.ReadAsync(buffer, request.HttpContext.RequestAborted)) > 0)
        {
            fits &= bytes.Length + read <= MaxBytes;
            if (fits)
            {
                bytes.Write(buffer, 0, read);
            }
        }

        return fits ? bytes.ToArray() : null;
    }
}

/// <summary>A JSON body, read strictly. With an Idempotency-Key the next write of the request is done at most once.</summary>
internal sealed class Body<T> : IApiBody, IEndpointParameterMetadataProvider
    where T : class
{
    private readonly T? _value;

    private Body(T? value, IResult? problem) => (_value, Problem) = (value, problem);

    public IResult? Problem { get; }

    /// <exception cref="InvalidOperationException">The body can't be used; the endpoints' filter has answered before.</exception>
    public T Value => _value ?? throw new InvalidOperationException("This body has a problem instead of a value.");

    public static async ValueTask<Body<T>> BindAsync(HttpContext context, ParameterInfo parameter)
    {
        _ = parameter;
        if (typeof(IMayBeEmpty).IsAssignableFrom(typeof(T)) && context.Request is { ContentType: null, ContentLength: null or 0 })
        {
            return Read(context, "{}"u8.ToArray());
        }

        if (!context.Request.HasJsonContentType())
        {
            return new Body<T>(null, ApiProblems.Of(StatusCodes.Status415UnsupportedMediaType));
        }

        if (await ApiBody.ReadAsync(context.Request) is not { } bytes)
        {
            return new Body<T>(null, ApiProblems.Of(StatusCodes.Status413PayloadTooLarge));
        }

        return Read(context, bytes);
    }

    private static Body<T> Read(HttpContext context, byte[] bytes)
    {
        Outcome<T> value = ApiJson.Read<T>(bytes);
        if (!value.IsOk)
        {
            return new Body<T>(null, ApiProblems.Refused(value.Refusals));
        }

        return Arm(context, bytes) is { } refusal ? new Body<T>(null, ApiProblems.Refused([refusal])) : new Body<T>(value.Value, null);
    }

    public static void PopulateMetadata(ParameterInfo parameter, EndpointBuilder builder) =>
        builder.Metadata.Add(new AcceptsMetadata(["application/json"], typeof(T)));

    private static Refusal? Arm(HttpContext context, byte[] body)
    {
        if (!context.Request.Headers.TryGetValue(ApiBody.KeyHeader, out var header))
        {
            return null;
        }

        string key = header.ToString();
        if (key.Trim().Length == 0 || key.Length > ApiBody.LongestKey || key.Any(char.IsControl))
        {
            return Refusal.Invalid(ApiBody.KeyHeader, "An Idempotency-Key has 1 to {0} characters; this one has {1}.", ApiBody.LongestKey, key.Length);
        }

        string route = $"{context.Request.Method} {context.Request.Path.Value!.TrimEnd('/').ToLowerInvariant()}";
        context.RequestServices.GetRequiredService<IdempotencySlot>().Arm(route, key, SHA256.HashData(body));
        return null;
    }
}
