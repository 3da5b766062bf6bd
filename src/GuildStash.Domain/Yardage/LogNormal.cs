namespace GuildStash.Domain.Yardage;

/// <summary>What is needed of the normal distribution of log length per mass.</summary>
public static class LogNormal
{
    /// <summary>95 % point of the standard normal distribution, z with Φ(z) = 0.95 (any statistical table).</summary>
    public const double NinetyFivePercent = 1.6448536269514722;
}
