using System.Runtime.CompilerServices;
using GuildStash.Data;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Servers;
using GuildStash.Web.Features.Setup;
using GuildStash.Web.Infrastructure;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Identity;
using Microsoft.AspNetCore.Routing;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Xunit;

namespace GuildStash.Web.Tests.Support;

/// <summary>A guild in a database of its own with one person of each role; use cases run as in the application, without its web server.</summary>
public sealed class GuildRoom : IAsyncDisposable
{
    public const string Password = "wool-and-water-9";

    private readonly TestDatabase _database;
    private readonly WebApplication _app;
    private readonly bool _isOwnKind;
    private bool _isServing;

    /// <summary>
    /// The endpoints of the use cases, compiled once for all rooms: that took longer for each of them than most tests. They take their
    /// services from the request, and the application that made them serves nobody and lives on.
    /// </summary>
    private static readonly Lazy<EndpointDataSource> UseCaseEndpoints = new(() =>
    {
        WebApplication app = Build("Host=nowhere.example.org", null);
        app.MapUseCases();
        return new DefaultEndpointDataSource([.. ((IEndpointRouteBuilder)app).DataSources.SelectMany(source => source.Endpoints)]);
    });

    /// <summary>The five people of each server's rooms, which are copies of one.</summary>
    private static readonly ConditionalWeakTable<PostgresFixture, Dictionary<string, Guid>> s_people = [];

    private GuildRoom(TestDatabase database, WebApplication app, bool isOwnKind) => (_database, _app, _isOwnKind) = (database, app, isOwnKind);

    public Guid Administrator { get; private set; }

    public Guid Coordinator { get; private set; }

    public Guid Volunteer { get; private set; }

    public Guid Member { get; private set; }

    public Guid OtherMember { get; private set; }

    public string OwnerConnectionString => _database.OwnerConnectionString;

    public string AppConnectionString => _database.AppConnectionString;

    public static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    /// <summary>Opens a context with the owner's rights, to look at what a use case left behind.</summary>
    public GuildDbContext Look() => GuildDatabase.Open(_database.OwnerConnectionString);

    /// <summary>A migrated database without a guild.</summary>
    /// <param name="prepare">Called before the application adds its services.</param>
    public static async Task<GuildRoom> OpenEmptyAsync(PostgresFixture postgres, Action<WebApplicationBuilder>? prepare = null)
    {
        TestDatabase database = (await postgres.CreateDatabaseAsync(Migrate)).ForManyTests();
        return new GuildRoom(database, Build(database.AppConnectionString, prepare), prepare is not null);
    }

    /// <summary>A guild with one person of each role.</summary>
    /// <param name="prepare">Called before the application adds its services.</param>
    /// <param name="way">Another way to the same database, from its connection string.</param>
    public static async Task<GuildRoom> OpenAsync(PostgresFixture postgres, Action<WebApplicationBuilder>? prepare = null, Func<string, string>? way = null)
    {
        TestDatabase database = (await postgres.CreateDatabaseAsync(FoundAsync)).ForManyTests();
        GuildRoom room = new(database, Build(way?.Invoke(database.AppConnectionString) ?? database.AppConnectionString, prepare), prepare is not null);
        if (!s_people.TryGetValue(postgres, out Dictionary<string, Guid>? people))
        {
            // By the application's own connections, since most tests never look with the owner's.
            await using GuildDbContext db = GuildDatabase.Open(database.AppConnectionString);
            people = await db.People.ToDictionaryAsync(p => p.Email!, p => p.Id, Cancellation);
            s_people.AddOrUpdate(postgres, people);
        }

        room.Administrator = people["admin@example.org"];
        room.Coordinator = people["coordinator@example.org"];
        room.Volunteer = people["volunteer@example.org"];
        room.Member = people["member@example.org"];
        room.OtherMember = people["other@example.org"];
        return room;
    }

    private static WebApplication Build(string connectionString, Action<WebApplicationBuilder>? prepare)
    {
        // The application's own name, so that it finds the list of its static files beside the tests.
        WebApplicationBuilder builder = WebApplication.CreateBuilder(new WebApplicationOptions
        {
            ApplicationName = typeof(GuildStashApp).Assembly.GetName().Name,
            ContentRootPath = AppContext.BaseDirectory,
            EnvironmentName = Environments.Production,
            // Each room would watch every folder of the tests for changed settings, with a thread of its own.
            Args = ["--hostBuilder:reloadConfigOnChange=false"],
        });
        builder.Logging.ClearProviders();
        prepare?.Invoke(builder);
        builder.AddGuildStash(new AppSettings(connectionString, "https://room.example.org"));
        // A guild's passwords are hashed slowly on purpose; hundreds of rooms with a password that everybody can read need not be.
        builder.Services.PostConfigure<PasswordHasherOptions>(options => options.IterationCount = 1_000);
        return builder.Build();
    }

    /// <summary>Done once and copied for each room: hashing five passwords takes longer than most tests.</summary>
    private static async Task FoundAsync(string ownerConnectionString)
    {
        await Migrate(ownerConnectionString);
        await using WebApplication app = Build(ownerConnectionString, null);
        await using AsyncServiceScope scope = app.Services.CreateAsyncScope();
        Outcome<Guid> founded = await scope.ServiceProvider.GetRequiredService<SetUpGuild>().RunAsync(
            new SetUpInput("Harbour Yarn Guild", "Europe/London", "en-GB", LengthUnit.Yards, "Ada Admin", "admin@example.org", Password), Cancellation);
        Assert.True(founded.IsOk, string.Join(" ", founded.Refusals));
        UserManager<Person> people = scope.ServiceProvider.GetRequiredService<UserManager<Person>>();
        await AddPersonAsync(people, "Cora Coordinator", "coordinator@example.org", Role.Coordinator);
        await AddPersonAsync(people, "Vera Volunteer", "volunteer@example.org", Role.Volunteer);
        await AddPersonAsync(people, "Mia Member", "member@example.org", Role.Member);
        await AddPersonAsync(people, "Otto Other", "other@example.org", Role.Member);
    }

    private static Task Migrate(string ownerConnectionString)
    {
        string app = new Npgsql.NpgsqlConnectionStringBuilder(ownerConnectionString) { Username = TestRoles.App }.ConnectionString;
        return GuildDatabase.MigrateAsync(ownerConnectionString, app, CancellationToken.None);
    }

    public async Task<Guid> AddPersonAsync(string name, string email, Role role)
    {
        await using AsyncServiceScope scope = _app.Services.CreateAsyncScope();
        return await AddPersonAsync(scope.ServiceProvider.GetRequiredService<UserManager<Person>>(), name, email, role);
    }

    private static async Task<Guid> AddPersonAsync(UserManager<Person> people, string name, string email, Role role)
    {
        Person person = new() { Id = Guid.CreateVersion7(), DisplayName = name, UserName = email, Email = email, Role = role, CreatedAt = DateTimeOffset.UtcNow };
        IdentityResult result = await people.CreateAsync(person, Password);
        Assert.True(result.Succeeded, string.Join(" ", result.Errors.Select(e => e.Description)));
        return person.Id;
    }

    /// <summary>Runs a service of the application in a scope of its own, as a request would.</summary>
    public async Task<TResult> UseAsync<TService, TResult>(Func<TService, Task<TResult>> use)
        where TService : notnull
    {
        await using AsyncServiceScope scope = _app.Services.CreateAsyncScope();
        return await use(scope.ServiceProvider.GetRequiredService<TService>());
    }

    /// <summary>Like <see cref="UseAsync"/> for what must not be refused.</summary>
    public async Task<TResult> DoAsync<TService, TResult>(Func<TService, Task<Outcome<TResult>>> use)
        where TService : notnull
    {
        Outcome<TResult> outcome = await UseAsync(use);
        Assert.True(outcome.IsOk, string.Join(" ", outcome.Refusals));
        return outcome.Value;
    }

    /// <summary>Starts the web server on a free port of the loopback address.</summary>
    public async Task<Uri> ServeAsync()
    {
        _app.Urls.Add("http://127.0.0.1:0");
        if (_isOwnKind)
        {
            _app.UseGuildStash();
        }
        else
        {
            _app.UseMiddlewares();
            _app.MapPagesAndFiles();
            ((IEndpointRouteBuilder)_app).DataSources.Add(UseCaseEndpoints.Value);
        }

        await _app.StartAsync(Cancellation);
        _isServing = true;
        return new Uri(_app.Urls.Single());
    }

    public async ValueTask DisposeAsync()
    {
        if (_isServing)
        {
            _isServing = false;
            // Disposing alone doesn't wait for what the jobs of a running application still write.
            using CancellationTokenSource enough = new(TimeSpan.FromSeconds(10));
            await _app.StopAsync(enough.Token);
        }

        await _app.DisposeAsync();
        await _database.DisposeAsync();
    }
}
