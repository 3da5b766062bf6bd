using GuildStash.Data;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Setup;
using GuildStash.Web.Infrastructure;
using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;

namespace GuildStash.Benchmarks;

/// <summary>A guild in a fresh database whose use cases run as in the application, without its web server.</summary>
internal sealed class Guild : IAsyncDisposable
{
    /// <summary>Far beyond the codes that the use cases give.</summary>
    public const long CopiesFromSerial = 10_000_000;

    private readonly TestDatabase _database;
    private readonly WebApplication _app;

    private Guild(TestDatabase database, WebApplication app) => (_database, _app) = (database, app);

    public string OwnerConnectionString => _database.OwnerConnectionString;

    public string AppConnectionString => GuildDatabase.ForShortQuestions(_database.AppConnectionString);

    private Guid Person { get; set; }

    public static async Task<Guild> OpenAsync(PostgresFixture postgres)
    {
        TestDatabase database = await postgres.CreateDatabaseAsync();
        await GuildDatabase.MigrateAsync(database.OwnerConnectionString, database.AppConnectionString, default);
        WebApplicationBuilder builder = WebApplication.CreateBuilder(new WebApplicationOptions
        {
            ApplicationName = typeof(GuildStashApp).Assembly.GetName().Name,
            ContentRootPath = AppContext.BaseDirectory,
        });
        builder.Logging.ClearProviders();
        builder.AddGuildStash(new AppSettings(database.AppConnectionString, "https://room.example.org"));
        Guild guild = new(database, builder.Build());
        await using AsyncServiceScope scope = guild._app.Services.CreateAsyncScope();
        SetUpInput input = new("Harbour Yarn Guild", "Europe/London", "en-GB", LengthUnit.Yards, "Ada Quill", "admin@example.org", "wool-and-water-9");
        guild.Person = Value(await scope.ServiceProvider.GetRequiredService<SetUpGuild>().RunAsync(input, default));
        return guild;
    }

    /// <summary>Runs a use case in a scope of its own, as a request would.</summary>
    public async Task<TResult> DoAsync<TUseCase, TResult>(Func<TUseCase, Guid, Task<Outcome<TResult>>> use)
        where TUseCase : notnull
    {
        await using AsyncServiceScope scope = _app.Services.CreateAsyncScope();
        return Value(await use(scope.ServiceProvider.GetRequiredService<TUseCase>(), Person));
    }

    public async ValueTask DisposeAsync()
    {
        await _app.DisposeAsync();
        await _database.DisposeAsync();
    }

    private static T Value<T>(Outcome<T> outcome) => outcome.IsOk ? outcome.Value : throw new InvalidOperationException(string.Join(" ", outcome.Refusals));
}
