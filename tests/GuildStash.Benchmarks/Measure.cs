using System.Diagnostics;
using System.Globalization;

namespace GuildStash.Benchmarks;

/// <summary>Times an act and its bare statements in turn, so that both meet the same disturbances of a shared machine.</summary>
internal static class Measure
{
    private const int WarmUp = 60;

    public static string Head => string.Create(CultureInfo.InvariantCulture,
        $"{"what",-46} {"stmts",5} {"p50 ms",8} {"p95 ms",8} {"sql p50",8} {"sql p95",8} {"ratio p50",9} {"ratio p95",9}");

    /// <returns>A line of figures.</returns>
    public static async Task<string> LineAsync(string what, int samples, int statements, Func<Task> act, Func<Task> bare)
    {
        List<double> ofAct = [];
        List<double> ofBare = [];
        for (int i = -WarmUp; i < samples; i++)
        {
            double first = await TimeAsync(act);
            double second = await TimeAsync(bare);
            if (i >= 0)
            {
                ofAct.Add(first);
                ofBare.Add(second);
            }
        }

        (double act50, double act95, double bare50, double bare95) = (At(ofAct, 0.5), At(ofAct, 0.95), At(ofBare, 0.5), At(ofBare, 0.95));
        return string.Create(CultureInfo.InvariantCulture,
            $"{what,-46} {statements,5} {act50,8:0.00} {act95,8:0.00} {bare50,8:0.00} {bare95,8:0.00} {act50 / bare50,9:0.00} {act95 / bare95,9:0.00}");
    }

    private static async Task<double> TimeAsync(Func<Task> act)
    {
        long start = Stopwatch.GetTimestamp();
        await act();
        return Stopwatch.GetElapsedTime(start).TotalMilliseconds;
    }

    /// <summary>The smallest value that at least this share of all does not exceed.</summary>
    private static double At(List<double> values, double share)
    {
        List<double> sorted = [.. values.Order()];
        return sorted[Math.Clamp((int)Math.Ceiling(share * sorted.Count) - 1, 0, sorted.Count - 1)];
    }
}
