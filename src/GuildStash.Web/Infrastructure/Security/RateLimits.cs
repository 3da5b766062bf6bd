using System.Threading.RateLimiting;
using Microsoft.AspNetCore.RateLimiting;

namespace GuildStash.Web.Infrastructure.Security;

/// <summary>Limits on guessing secrets; ordinary work is not limited.</summary>
public static class RateLimits
{
    /// <summary>Sign-in, set-up, invitation and token issue: per address.</summary>
    public const string Guessing = "guessing";

    /// <summary>Tries of one address within a minute; a whole guild may sit behind one.</summary>
    public const int TriesPerMinute = 60;

    public static void Add(RateLimiterOptions options)
    {
        options.RejectionStatusCode = StatusCodes.Status429TooManyRequests;
        options.AddPolicy(Guessing, context => IsTry(context.Request)
            ? RateLimitPartition.GetFixedWindowLimiter(
                context.Connection.RemoteIpAddress?.ToString() ?? "unknown",
                _ => new FixedWindowRateLimiterOptions { PermitLimit = TriesPerMinute, Window = TimeSpan.FromMinutes(1) })
            : RateLimitPartition.GetNoLimiter("looking"));
    }

    /// <summary>Looking at a form is no try, unless a code comes with the address.</summary>
    private static bool IsTry(HttpRequest request) => !HttpMethods.IsGet(request.Method) || request.Query.ContainsKey("code");
}
