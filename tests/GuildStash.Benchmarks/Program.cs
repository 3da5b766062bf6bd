using System.Globalization;
using BenchmarkDotNet.Running;
using GuildStash.Benchmarks;
using GuildStash.TestSupport;

// Prints how fast the application saves, filters, sums and reserves, beside the same statements sent straight through Npgsql.
//   GuildStash.Benchmarks --estimates
// prints how long the estimates of length take, without a database.
//   GuildStash.Benchmarks --one-estimate
// has BenchmarkDotNet measure one estimate, what it allocates, and a page of 200 lots that is recomputed.
//   GuildStash.Benchmarks --plans small,usual,stretch [--rooms 3] [--seed N] [--workers 8]
// prints how good plans are and how soon, without a database.
//   GuildStash.Benchmarks --audit 1000000   measures the audit of the books instead
//   GuildStash.Benchmarks [--lots 10000,100000] [--samples 100] [--database CONNECTION] [--explain FILE]
// CONNECTION names a server on which databases may be made; without it the embedded one is started in a temporary folder.
string Word(string name, string otherwise)
{
    int at = Array.IndexOf(args, name);
    return at < 0 ? otherwise : at + 1 < args.Length ? args[at + 1] : throw new ArgumentException($"{name} needs a value behind it.");
}

if (args.Contains("--estimates"))
{
    Estimates.Run(Console.Out);
    return;
}

if (args.Contains("--one-estimate"))
{
    BenchmarkRunner.Run<OneEstimate>();
    return;
}

if (Word("--plans", "") is { Length: > 0 } sizes)
{
    int? seed = Word("--seed", "") is { Length: > 0 } number ? int.Parse(number, CultureInfo.InvariantCulture) : null;
    Plans.Run(Console.Out, sizes, int.Parse(Word("--rooms", "3"), CultureInfo.InvariantCulture), seed, int.Parse(Word("--workers", "8"), CultureInfo.InvariantCulture));
    return;
}

if (Word("--database", "") is { Length: > 0 } database)
{
    Environment.SetEnvironmentVariable(PostgresFixture.EnvironmentName, database);
}

int samples = int.Parse(Word("--samples", "100"), CultureInfo.InvariantCulture);
string plans = Word("--explain", "");
await using StreamWriter? explain = plans.Length == 0 ? null : new StreamWriter(plans);
PostgresFixture postgres = new();
await postgres.InitializeAsync();
try
{
    Console.WriteLine($"{DateTime.UtcNow:yyyy-MM-dd HH:mm} UTC, {Environment.ProcessorCount} cores, .NET {Environment.Version}, {postgres.Description}, {samples} samples each");
    if (Word("--audit", "") is { Length: > 0 } movements)
    {
        await using Guild audited = await Guild.OpenAsync(postgres);
        await new Books(audited, explain).RunAsync(int.Parse(movements, CultureInfo.InvariantCulture), Console.Out);
        return;
    }

    foreach (string size in Word("--lots", "10000,100000").Split(','))
    {
        int lots = int.Parse(size, CultureInfo.InvariantCulture);
        await using Guild guild = await Guild.OpenAsync(postgres);
        Stock stock = new(guild);
        await stock.FillAsync(lots);
        Console.WriteLine();
        Console.WriteLine($"{lots} lots");
        await new Acts(guild, stock, samples, explain).RunAsync(Console.Out);
    }
}
finally
{
    await postgres.DisposeAsync();
}
