using System.Collections.Concurrent;
using System.Diagnostics;
using System.Net.Sockets;
using GuildStash.Data.Server;
using GuildStash.TestSupport;
using Xunit;

namespace GuildStash.Browser.Tests.Support;

/// <summary>The published program serving a database of its own, started as its operator would start it.</summary>
public sealed class ProgramSite : Site
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(4);

    private readonly string[] _words;
    private Process _process;
    private readonly ConcurrentQueue<string> _output = new();

    private ProgramSite(TestDatabase? database, string[] words, int port)
        : base(database, port)
    {
        _words = [.. words, "--port", $"{port}", "--bind", "127.0.0.1"];
        _process = new Process { StartInfo = Command(database, _words) };
    }

    /// <summary>Everything the program printed so far.</summary>
    public string Output => string.Join('\n', _output);

    /// <summary>Process id of the running program.</summary>
    public int ProcessId => _process.Id;

    /// <summary>The database is another site's, which drops it.</summary>
    private bool IsGuest { get; init; }

    /// <summary>Starts the program on an empty database.</summary>
    /// <param name="words">Further words of the command line, for instance --demo.</param>
    public static async Task<ProgramSite> StartAsync(PostgresFixture postgres, params string[] words) => await StartAsync(await postgres.CreateDatabaseAsync(), words);

    /// <summary>Starts the program on a database, which is dropped with it.</summary>
    /// <param name="words">Further words of the command line, for instance --demo.</param>
    public static async Task<ProgramSite> StartAsync(TestDatabase database, params string[] words)
    {
        int port = FreePort();
        ProgramSite site = new(database, ["--public-url", $"http://127.0.0.1:{port}", .. words], port);
        await site.ServeAsync();
        return site;
    }

    /// <summary>Starts the program with a database server of its own in a data folder.</summary>
    public static async Task<ProgramSite> StartWithServerAsync(string folder)
    {
        int port = FreePort();
        ProgramSite site = new(null, ["--data", folder, "--public-url", $"http://127.0.0.1:{port}"], port);
        await site.ServeAsync();
        await using EmbeddedPostgres server = (await EmbeddedPostgres.AttachAsync(folder, Cancellation))!;
        (site.OwnerConnectionString, site.AppConnectionString) = (server.OwnerConnectionString(), server.AppConnectionString());
        return site;
    }

    /// <summary>Ends the program at once, as a power cut would; its database stays.</summary>
    public async Task KillAsync()
    {
        _process.Kill(entireProcessTree: true);
        await _process.WaitForExitAsync(Cancellation);
    }

    /// <summary>Starts the program again on the same database and port, after ending it where it still runs.</summary>
    public async Task RestartAsync()
    {
        if (!_process.HasExited)
        {
            await KillAsync();
        }

        _process.Dispose();
        _process = new Process { StartInfo = Command(HasDatabase ? Database : null, _words) };
        await ServeAsync();
    }

    /// <summary>Serves this site's database a second time, inside the tests, as the program's developers see it.</summary>
    public Task<HostedSite> ServeInDevelopmentAsync() => HostedSite.StartInDevelopmentAsync(Database);

    /// <summary>Starts the program on an empty database twice in the same moment, as a guild with two nodes does.</summary>
    public static async Task<(ProgramSite First, ProgramSite Second)> StartTwoAsync(PostgresFixture postgres)
    {
        TestDatabase database = await postgres.CreateDatabaseAsync();
        ProgramSite[] sites = [new(database, [], FreePort()), new(database, [], FreePort()) { IsGuest = true }];
        try
        {
            await Task.WhenAll(sites.Select(site => site.ServeAsync()));
        }
        catch
        {
            // Nobody else could end the one that serves.
            await sites[1].DisposeAsync();
            await sites[0].DisposeAsync();
            throw;
        }

        return (sites[0], sites[1]);
    }

    /// <summary>Starts the program on the database of a site, where it can't serve, and waits for its end.</summary>
    /// <returns>Its exit code, and what it printed.</returns>
    public static async Task<(int ExitCode, string Told)> StartInVainAsync(Site site)
    {
        using Process process = new() { StartInfo = Command(site.Database, ["--port", $"{FreePort()}", "--bind", "127.0.0.1"]) };
        process.Start();
        Task<string> output = process.StandardOutput.ReadToEndAsync(Cancellation);
        Task<string> errors = process.StandardError.ReadToEndAsync(Cancellation);
        using CancellationTokenSource enough = CancellationTokenSource.CreateLinkedTokenSource(Cancellation);
        enough.CancelAfter(Patience);
        try
        {
            await process.WaitForExitAsync(enough.Token);
        }
        finally
        {
            if (!process.HasExited)
            {
                process.Kill(entireProcessTree: true);
            }
        }

        return (process.ExitCode, await errors + await output);
    }

    /// <summary>Waits until a line with these words was printed, and gives it.</summary>
    public async Task<string> PrintedAsync(string words)
    {
        using CancellationTokenSource enough = CancellationTokenSource.CreateLinkedTokenSource(Cancellation);
        enough.CancelAfter(Patience);
        using PeriodicTimer again = new(TimeSpan.FromMilliseconds(50));
        while (true)
        {
            if (_output.FirstOrDefault(line => line.Contains(words, StringComparison.Ordinal)) is { } line)
            {
                return line;
            }

            await again.WaitForNextTickAsync(enough.Token);
        }
    }

    /// <summary>Runs an admin command of the same program against the same database and gives its standard output.</summary>
    public async Task<string> RunAsync(params string[] words)
    {
        using Process process = new() { StartInfo = HasDatabase ? Command(Database, words) : Command(null, [.. words, .. _words.Take(2)]) };
        process.Start();
        Task<string> output = process.StandardOutput.ReadToEndAsync(Cancellation);
        Task<string> errors = process.StandardError.ReadToEndAsync(Cancellation);
        await process.WaitForExitAsync(Cancellation);
        Assert.True(process.ExitCode == 0, $"{string.Join(' ', words)} ended with {process.ExitCode}: {await errors} {await output}");
        return await output;
    }

    public override async ValueTask DisposeAsync()
    {
        if (!_process.HasExited)
        {
            _process.Kill(entireProcessTree: true);
            await _process.WaitForExitAsync(CancellationToken.None);
        }

        _process.Dispose();
        if (!IsGuest && HasDatabase)
        {
            await Database.DisposeAsync();
        }
    }

    private static ProcessStartInfo Command(TestDatabase? database, string[] words)
    {
        ProcessStartInfo start = new("dotnet", [Path.Combine(ProgramFolder, "GuildStash.Web.dll"), .. words])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
        };
        if (database is not null)
        {
            start.Environment["GUILDSTASH_DATABASE"] = database.OwnerConnectionString;
            start.Environment["GUILDSTASH_APP_DATABASE"] = database.AppConnectionString;
        }

        start.Environment["ASPNETCORE_ENVIRONMENT"] = "Production";
        // What a script was refused by its circuit is told with its reason, and so by the test that finds it among the visitor's faults.
        start.Environment["ASPNETCORE_DETAILEDERRORS"] = "true";
        return start;
    }

    private async Task ServeAsync()
    {
        _process.OutputDataReceived += Keep;
        _process.ErrorDataReceived += Keep;
        _process.Start();
        _process.BeginOutputReadLine();
        _process.BeginErrorReadLine();
        await ReadyAsync();
    }

    private async Task ReadyAsync()
    {
        using HttpClient http = new() { BaseAddress = Address };
        using CancellationTokenSource enough = CancellationTokenSource.CreateLinkedTokenSource(Cancellation);
        enough.CancelAfter(Patience);
        using PeriodicTimer again = new(TimeSpan.FromMilliseconds(100));
        while (await again.WaitForNextTickAsync(enough.Token))
        {
            Assert.False(_process.HasExited, "The program ended: " + Output);
            try
            {
                if ((await http.GetAsync(new Uri("/health/live", UriKind.Relative), enough.Token)).IsSuccessStatusCode)
                {
                    return;
                }
            }
            catch (Exception fault) when (fault is HttpRequestException or SocketException)
            {
                // Not listening yet; a connection that ends in the same moment reaches us as the socket's own fault now and then.
            }
        }
    }

    private void Keep(object sender, DataReceivedEventArgs line)
    {
        if (line.Data is { } text)
        {
            _output.Enqueue(text);
        }
    }
}
