using System.Net;
using System.Threading.RateLimiting;

namespace GuildStash.Web.Infrastructure.Security;

/// <summary>
/// Counts wrong passwords by network, so that nobody goes through many accounts from one place, a few tries each. Right passwords don't
/// count: a whole guild may sign in behind one address. Kept in this process; a second node counts for itself.
/// </summary>
public sealed class WrongTries : IDisposable
{
    /// <summary>Wrong passwords of one network within <see cref="Minutes"/>; a judgement: an evening's typing errors of a full room, but 3,840 guesses a day instead of 86,400.</summary>
    public const int Most = 40;

    public const int Minutes = 15;

    private readonly PartitionedRateLimiter<string> _limiter = PartitionedRateLimiter.Create<string, string>(network => RateLimitPartition.GetSlidingWindowLimiter(
        network, _ => new SlidingWindowRateLimiterOptions { PermitLimit = Most, Window = TimeSpan.FromMinutes(Minutes), SegmentsPerWindow = 5 }));

    /// <summary>Whether a password of this network is looked at now.</summary>
    public bool MayTry(IPAddress? address)
    {
        using RateLimitLease lease = _limiter.AttemptAcquire(RateLimits.NetworkOf(address), 0);
        return lease.IsAcquired;
    }

    public void Count(IPAddress? address) => _limiter.AttemptAcquire(RateLimits.NetworkOf(address)).Dispose();

    public void Dispose() => _limiter.Dispose();
}
