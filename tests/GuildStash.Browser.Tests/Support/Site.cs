using System.Collections.Concurrent;
using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using GuildStash.TestSupport;
using Xunit;

namespace GuildStash.Browser.Tests.Support;

/// <summary>The published program serving a database of its own, started as its operator would start it.</summary>
public sealed class Site : IAsyncDisposable
{
    private const string ProgramFolderName = "GUILDSTASH_TEST_APP";
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(4);

    private readonly TestDatabase? _database;
    private readonly string[] _words;
    private Process _process;
    private readonly ConcurrentQueue<string> _output = new();

    private Site(TestDatabase? database, string[] words, Uri address) =>
        (_database, _words, Address, _process) = (database, words, address, new Process { StartInfo = Command(database, words) });

    public Uri Address { get; }

    /// <summary>Everything the program printed so far.</summary>
    public string Output => string.Join('\n', _output);

    public string OwnerConnectionString => Database.OwnerConnectionString;

    public string AppConnectionString => Database.AppConnectionString;

    /// <summary>Process id of the running program.</summary>
    public int ProcessId => _process.Id;

    /// <summary>Where the published program lies.</summary>
    public static string ProgramFolder => Environment.GetEnvironmentVariable(ProgramFolderName)
        ?? throw new InvalidOperationException($"{ProgramFolderName} names no folder with the published program. ./test.sh sets it; by hand: export {ProgramFolderName}=$(./run.sh build).");

    private TestDatabase Database => _database ?? throw new InvalidOperationException("This site has a database server of its own.");

    /// <summary>The database is another site's, which drops it.</summary>
    private bool IsGuest { get; init; }

    public static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    /// <summary>Starts the program on an empty database.</summary>
    /// <param name="words">Further words of the command line, for instance --demo.</param>
    public static async Task<Site> StartAsync(PostgresFixture postgres, params string[] words) => await StartAsync(await postgres.CreateDatabaseAsync(), words);

    /// <summary>Starts the program on a database, which is dropped with it.</summary>
    /// <param name="words">Further words of the command line, for instance --demo.</param>
    public static async Task<Site> StartAsync(TestDatabase database, params string[] words)
    {
        int port = FreePort();
        Site site = new(database, ["--port", $"{port}", "--public-url", $"http://127.0.0.1:{port}", "--bind", "127.0.0.1", .. words], new Uri($"http://127.0.0.1:{port}"));
        await site.ServeAsync();
        return site;
    }

    /// <summary>Starts the program with a database server of its own in a data folder.</summary>
    public static async Task<Site> StartWithServerAsync(string folder)
    {
        int port = FreePort();
        Site site = new(null, ["--data", folder, "--port", $"{port}", "--public-url", $"http://127.0.0.1:{port}", "--bind", "127.0.0.1"], new Uri($"http://127.0.0.1:{port}"));
        await site.ServeAsync();
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
        _process = new Process { StartInfo = Command(_database, _words) };
        await ServeAsync();
    }

    /// <summary>Starts the program a second time on this site's database, as its developers do; only there the pseudo-language is spoken.</summary>
    public async Task<Site> StartInDevelopmentAsync()
    {
        int port = FreePort();
        Site site = new(_database, ["--port", $"{port}", "--bind", "127.0.0.1"], new Uri($"http://127.0.0.1:{port}")) { IsGuest = true };
        site._process.StartInfo.Environment["ASPNETCORE_ENVIRONMENT"] = "Development";
        await site.ServeAsync();
        return site;
    }

    /// <summary>Starts the program on an empty database twice in the same moment, as a guild with two nodes does.</summary>
    public static async Task<(Site First, Site Second)> StartTwoAsync(PostgresFixture postgres)
    {
        TestDatabase database = await postgres.CreateDatabaseAsync();
        int[] ports = [FreePort(), FreePort()];
        Site[] sites = [.. ports.Select((port, i) => new Site(database, ["--port", $"{port}", "--bind", "127.0.0.1"], new Uri($"http://127.0.0.1:{port}")) { IsGuest = i > 0 })];
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

    /// <summary>Starts the program a second time on this site's database, where it can't serve, and waits for its end.</summary>
    /// <returns>Its exit code, and what it printed.</returns>
    public async Task<(int ExitCode, string Told)> StartInVainAsync()
    {
        using Process process = new() { StartInfo = Command(Database, ["--port", $"{FreePort()}", "--bind", "127.0.0.1"]) };
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
        using Process process = new() { StartInfo = Command(_database, _database is null ? [.. words, .. _words.Take(2)] : words) };
        process.Start();
        Task<string> output = process.StandardOutput.ReadToEndAsync(Cancellation);
        Task<string> errors = process.StandardError.ReadToEndAsync(Cancellation);
        await process.WaitForExitAsync(Cancellation);
        Assert.True(process.ExitCode == 0, $"{string.Join(' ', words)} ended with {process.ExitCode}: {await errors} {await output}");
        return await output;
    }

    public async ValueTask DisposeAsync()
    {
        if (!_process.HasExited)
        {
            _process.Kill(entireProcessTree: true);
            await _process.WaitForExitAsync(CancellationToken.None);
        }

        _process.Dispose();
        if (!IsGuest && _database is not null)
        {
            await _database.DisposeAsync();
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

    private static int FreePort()
    {
        using TcpListener listener = new(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }
}
