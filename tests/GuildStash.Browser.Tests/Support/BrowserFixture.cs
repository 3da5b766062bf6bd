using Microsoft.Playwright;
using Xunit;

namespace GuildStash.Browser.Tests.Support;

/// <summary>One Chromium for all journeys of the program: the system's, since nothing is downloaded.</summary>
public sealed class BrowserFixture : IAsyncLifetime
{
    private static readonly string[] Programs = ["/usr/bin/chromium-headless-shell", "/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];

    private IPlaywright? _playwright;

    public IBrowser Browser { get; private set; } = null!;

    public async ValueTask InitializeAsync()
    {
        string program = Array.Find(Programs, File.Exists)
            ?? throw new InvalidOperationException("No Chromium was found. ./test.sh installs it (Debian: apt-get install chromium).");
        _playwright = await Playwright.CreateAsync();
        Assertions.SetDefaultExpectTimeout(20_000);
        Browser = await _playwright.Chromium.LaunchAsync(new BrowserTypeLaunchOptions
        {
            ExecutablePath = program,
            Args = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--in-process-gpu", "--js-flags=--no-opt,--no-maglev,--single-threaded-gc,--no-flush-bytecode"],
        });
    }

    public async ValueTask DisposeAsync()
    {
        if (Browser is not null)
        {
            await Browser.DisposeAsync();
        }

        _playwright?.Dispose();
    }
}
