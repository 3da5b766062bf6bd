using GuildStash.TestSupport;
using GuildStash.Web.Features.Setup;
using GuildStash.Web.Infrastructure;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace GuildStash.Web.Tests.Support;

/// <summary>The application on a real web server of its own, before a guild's database or an empty one.</summary>
public sealed class WebRoom : IAsyncDisposable
{
    private readonly GuildRoom? _room;
    private readonly TestDatabase? _empty;
    private readonly WebApplication _app;

    private WebRoom(GuildRoom? room, TestDatabase? empty, WebApplication app) => (_room, _empty, _app) = (room, empty, app);

    public GuildRoom Guild => _room ?? throw new InvalidOperationException("This room has no guild yet.");

    public Uri Address => new(_app.Urls.Single());

    public SetUpCode Code => _app.Services.GetRequiredService<SetUpCode>();

    public IServiceProvider Services => _app.Services;

    /// <summary>With a guild and one person of each role.</summary>
    public static async Task<WebRoom> OpenAsync(PostgresFixture postgres, string environment = "Production")
    {
        GuildRoom room = await GuildRoom.OpenAsync(postgres);
        return new WebRoom(room, null, await StartAsync(room.AppConnectionString, environment));
    }

    /// <summary>With a migrated database that nobody has set up.</summary>
    public static async Task<WebRoom> OpenEmptyAsync(PostgresFixture postgres, string environment = "Production")
    {
        TestDatabase empty = await postgres.CreateDatabaseAsync(GuildRoom.Migrate);
        return new WebRoom(null, empty, await StartAsync(empty.AppConnectionString, environment));
    }

    /// <summary>A browser without scripts: cookies of its own, redirects shown rather than followed.</summary>
    public Visitor Visit() => new(Address);

    /// <summary>A visitor who signed in through the page.</summary>
    public async Task<Visitor> SignInAsync(string email)
    {
        Visitor visitor = Visit();
        using HttpResponseMessage answer = await visitor.PostAsync("/account/sign-in", "sign-in", ("email", email), ("password", GuildRoom.Password));
        Xunit.Assert.Equal(System.Net.HttpStatusCode.Redirect, answer.StatusCode);
        return visitor;
    }

    public async ValueTask DisposeAsync()
    {
        await _app.StopAsync();
        await _app.DisposeAsync();
        if (_room is not null)
        {
            await _room.DisposeAsync();
        }

        if (_empty is not null)
        {
            await _empty.DisposeAsync();
        }
    }

    private static async Task<WebApplication> StartAsync(string connection, string environment)
    {
        WebApplicationBuilder builder = WebApplication.CreateBuilder(new WebApplicationOptions
        {
            ApplicationName = typeof(GuildStashApp).Assembly.GetName().Name,
            ContentRootPath = AppContext.BaseDirectory,
            EnvironmentName = environment,
        });
        builder.Logging.ClearProviders();
        builder.WebHost.UseUrls("http://127.0.0.1:0");
        builder.AddGuildStash(new AppSettings(connection, null));
        WebApplication app = builder.Build();
        app.UseGuildStash();
        await app.StartAsync(GuildRoom.Cancellation);
        return app;
    }
}
