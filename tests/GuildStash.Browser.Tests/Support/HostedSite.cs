using GuildStash.TestSupport;
using GuildStash.Web.Infrastructure;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace GuildStash.Browser.Tests.Support;

/// <summary>
/// The program's web application with the published program's files, run inside the tests: compiling it just in time anew for each
/// site would take longer than most journeys. What a journey needs no process for is done here.
/// </summary>
public sealed class HostedSite : Site
{
    private readonly WebApplication _app;
    private readonly bool _isGuest;

    private HostedSite(TestDatabase database, int port, bool isGuest, string environment)
        : base(database, port)
    {
        _isGuest = isGuest;
        WebApplicationBuilder builder = GuildStashApp.CreateBuilder(Site.ProgramFolder, Address.ToString(), environment);
        builder.Logging.ClearProviders();
        // As in a program of its own: what a script was refused by its circuit is told with its reason.
        builder.Configuration[WebHostDefaults.DetailedErrorsKey] = "true";
        builder.AddGuildStash(new AppSettings(database.AppConnectionString, Address.ToString().TrimEnd('/'))
        {
            SafeKeeping = new SafeKeepingSettings(database.OwnerConnectionString, null),
        });
        _app = builder.Build();
        _app.UseGuildStash();
    }

    /// <summary>Serves a database that has its schema, and drops it in the end.</summary>
    public static Task<HostedSite> StartAsync(TestDatabase database) => StartAsync(new HostedSite(database, FreePort(), isGuest: false, Environments.Production));

    /// <summary>Serves the database of another site, which drops it, as the program's developers do; only there the pseudo-language is spoken.</summary>
    public static Task<HostedSite> StartInDevelopmentAsync(TestDatabase database) => StartAsync(new HostedSite(database, FreePort(), isGuest: true, Environments.Development));

    /// <summary>Asks a service of the application, as a request would.</summary>
    public async Task<TResult> UseAsync<TService, TResult>(Func<TService, Task<TResult>> use)
        where TService : notnull
    {
        await using AsyncServiceScope scope = _app.Services.CreateAsyncScope();
        return await use(scope.ServiceProvider.GetRequiredService<TService>());
    }

    public override async ValueTask DisposeAsync()
    {
        // Browsers that are still there keep their circuits open; the site doesn't wait for them.
        using CancellationTokenSource enough = new(TimeSpan.FromSeconds(2));
        await _app.StopAsync(enough.Token);
        await _app.DisposeAsync();
        if (!_isGuest)
        {
            await Database.DisposeAsync();
        }
    }

    private static async Task<HostedSite> StartAsync(HostedSite site)
    {
        await site._app.StartAsync(Cancellation);
        return site;
    }
}
