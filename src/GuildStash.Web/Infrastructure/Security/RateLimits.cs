using System.Net;
using System.Net.Sockets;
using System.Threading.RateLimiting;
using Microsoft.AspNetCore.RateLimiting;

namespace GuildStash.Web.Infrastructure.Security;

/// <summary>Limits on guessing secrets, and on looks at pages that ask nobody to sign in; ordinary work is not limited.</summary>
public static class RateLimits
{
    /// <summary>Sign-in, set-up, invitation, new password, preferences with the password: per address.</summary>
    public const string Guessing = "guessing";

    /// <summary>Tries of one address within a minute; a whole guild may sit behind one.</summary>
    public const int TriesPerMinute = 60;

    /// <summary>Pages that anybody may open: per address.</summary>
    public const string Open = "open";

    /// <summary>
    /// Looks of one address within a minute, at all open pages together. A judgement: a fair with a hundred phones behind one address
    /// stays below it, and a program that asks as fast as it can is held back at once.
    /// </summary>
    public const int LooksPerMinute = 240;

    public static void Add(RateLimiterOptions options)
    {
        options.RejectionStatusCode = StatusCodes.Status429TooManyRequests;
        options.AddPolicy(Guessing, context => IsTry(context.Request)
            ? RateLimitPartition.GetFixedWindowLimiter(
                NetworkOf(context.Connection.RemoteIpAddress),
                _ => new FixedWindowRateLimiterOptions { PermitLimit = TriesPerMinute, Window = TimeSpan.FromMinutes(1) })
            : RateLimitPartition.GetNoLimiter("looking"));
        options.AddPolicy(Open, context => RateLimitPartition.GetFixedWindowLimiter(
            NetworkOf(context.Connection.RemoteIpAddress),
            _ => new FixedWindowRateLimiterOptions { PermitLimit = LooksPerMinute, Window = TimeSpan.FromMinutes(1) }));
    }

    /// <summary>An address as the limits count it: of IPv6 the first 64 bits, since one connection has all addresses below them.</summary>
    public static string NetworkOf(IPAddress? address)
    {
        if (address is null)
        {
            return "unknown";
        }

        IPAddress plain = address.IsIPv4MappedToIPv6 ? address.MapToIPv4() : address;
        return plain.AddressFamily == AddressFamily.InterNetworkV6 ? new System.Net.IPNetwork(plain, 64).ToString() : plain.ToString();
    }

    /// <summary>Looking at a form is no try, unless a code comes with the address.</summary>
    private static bool IsTry(HttpRequest request) => !HttpMethods.IsGet(request.Method) || request.Query.ContainsKey("code");
}
