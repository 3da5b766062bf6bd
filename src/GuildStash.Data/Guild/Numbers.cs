using Microsoft.EntityFrameworkCore;

namespace GuildStash.Data.Guild;

/// <summary>Numbers without gaps: the counter's row stays locked until the transaction that took the number is over.</summary>
public static class Numbers
{
    public const string Donations = "donation";
    public const string Requests = "request";
    public const string Lots = "lot";
    public const string Bins = "bin";
    public const string Plans = "plan";
    public const string Kits = "kit";

    /// <summary>Takes the next number of a series. Call it inside a transaction, as late as possible: others wait for it.</summary>
    public static Task<long> NextAsync(GuildDbContext db, string series, int year, CancellationToken cancellation) => TakeAsync(db, series, year, 1, cancellation);

    /// <summary>Takes so many numbers in a row.</summary>
    /// <param name="count">1 or more.</param>
    /// <returns>The first of them.</returns>
    public static async Task<long> TakeAsync(GuildDbContext db, string series, int year, int count, CancellationToken cancellation)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(count, 1);
        List<long> last = await db.Database.SqlQuery<long>(
            $"""
             insert into number_counter (series, year, last) values ({series}, {year}, {count})
             on conflict (series, year) do update set last = number_counter.last + {count}
             returning last as "Value"
             """).ToListAsync(cancellation);
        return last[0] - count + 1;
    }

    /// <summary>For instance D-2026-0042; more digits where a year has more than 9,999.</summary>
    public static string Format(char letter, int year, long number) => FormattableString.Invariant($"{letter}-{year:0000}-{number:0000}");
}
