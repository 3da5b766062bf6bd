using System.Threading.RateLimiting;
using Microsoft.AspNetCore.RateLimiting;

namespace GuildStash.Web.Infrastructure.Security;

/// <summary>Limits on guessing secrets; ordinary work is not limited.</summary>
public static class RateLimits
{
    /// <summary>Sign-in, set-up, invitation and token issue: per address.</summary>
    public const string Guessing = "guessing";

    public static void Add(RateLimiterOptions options)
    {
        options.RejectionStatusCode = StatusCodes.Status429TooManyRequests;
        options.AddPolicy(Guessing, context => RateLimitPartition.GetFixedWindowLimiter(
            context.Connection.RemoteIpAddress?.ToString() ?? "unknown",
            _ => new FixedWindowRateLimiterOptions { PermitLimit = 60, Window = TimeSpan.FromMinutes(1) }));
    }
}
