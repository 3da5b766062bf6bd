using System.Net;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Setup;
using Microsoft.AspNetCore.Builder;
using Xunit;

namespace GuildStash.Web.Tests.Support;

/// <summary>The application on a real web server, before a guild's database or an empty one.</summary>
public sealed class WebRoom : IAsyncDisposable
{
    private readonly Uri _address;

    private WebRoom(GuildRoom guild, Uri address) => (Guild, _address) = (guild, address);

    public GuildRoom Guild { get; }

    /// <summary>With a guild and one person of each role.</summary>
    /// <param name="prepare">Called before the application adds its services.</param>
    public static async Task<WebRoom> OpenAsync(PostgresFixture postgres, Action<WebApplicationBuilder>? prepare = null)
    {
        GuildRoom guild = await GuildRoom.OpenAsync(postgres, prepare);
        return new WebRoom(guild, await guild.ServeAsync());
    }

    /// <summary>With a migrated database that nobody has set up.</summary>
    public static async Task<WebRoom> OpenEmptyAsync(PostgresFixture postgres)
    {
        GuildRoom guild = await GuildRoom.OpenEmptyAsync(postgres);
        return new WebRoom(guild, await guild.ServeAsync());
    }

    /// <summary>Asks the program for its one-time code as the console does.</summary>
    public Task<T> AskCodeAsync<T>(Func<SetUpCode, Task<T>> ask) => Guild.UseAsync(ask);

    /// <summary>A browser without scripts: cookies of its own, redirects shown rather than followed.</summary>
    public Visitor Visit() => new(_address);

    /// <summary>A visitor who signed in through the page.</summary>
    public async Task<Visitor> SignInAsync(string email)
    {
        Visitor visitor = Visit();
        using HttpResponseMessage answer = await visitor.PostAsync("/account/sign-in", "sign-in", ("email", email), ("password", GuildRoom.Password));
        Assert.Equal(HttpStatusCode.Redirect, answer.StatusCode);
        return visitor;
    }

    public ValueTask DisposeAsync() => Guild.DisposeAsync();
}
