using System.Globalization;

namespace GuildStash.TestSupport;

/// <summary>How long the tests that wear something down go on: a little on each run, all of it with <c>./test.sh --long</c>.</summary>
public static class TestLength
{
    /// <summary>Set to 1 for the full length.</summary>
    public const string EnvironmentName = "GUILDSTASH_TEST_LONG";

    public static bool IsLong { get; } = Environment.GetEnvironmentVariable(EnvironmentName) == "1";

    public static int Pick(int usual, int full) => IsLong ? full : usual;

    public static TimeSpan Seconds(int usual, int full) => TimeSpan.FromSeconds(Pick(usual, full));

    /// <summary>The seed to run with: a new one each time, or the one that <c>GUILDSTASH_TEST_SEED</c> names to see a failure again.</summary>
    public static int Seed() =>
        int.TryParse(Environment.GetEnvironmentVariable("GUILDSTASH_TEST_SEED"), NumberStyles.Integer, CultureInfo.InvariantCulture, out int seed)
            ? seed
            : Random.Shared.Next();
}
