using GuildStash.Data;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.People;
using GuildStash.Web.Features.Planning;
using GuildStash.Web.Features.Setup;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Demo;

/// <summary>
/// Fills an empty database with the demo guild and a year of its work, through the same use cases as the pages. Each use case runs at
/// the moment that the plan names; only here is a moment other than the database's given to one.
/// </summary>
public sealed class DemoGuild(IServiceProvider services, AppSettings settings)
{
    /// <summary>The guild is a little older than anything that happens in it.</summary>
    private static readonly DemoMoment Founded = new(366, 9 * 60);

    private readonly DemoConnection _connection = new(settings.AppConnection);
    private DateTimeOffset _loaded;
    private TimeZoneInfo _zone = TimeZoneInfo.Utc;

    /// <summary>The day of loading on the guild's wall clock.</summary>
    internal DateOnly Today => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(_loaded, _zone).DateTime);

    /// <summary>Makes guild, accounts, bins, projects, gifts, lots, holds, hand-overs and returns.</summary>
    /// <param name="progress">Gets a line for each part.</param>
    /// <exception cref="InvalidOperationException">The database has a guild already, or a use case refused.</exception>
    public async Task SeedAsync(DemoScenario scenario, Action<string> progress, CancellationToken cancellation)
    {
        _zone = TimeZoneInfo.FindSystemTimeZoneById(scenario.Guild.TimeZone);
        await using GuildDbContext db = await _connection.Contexts.CreateDbContextAsync(cancellation);
        _loaded = await db.Database.SqlQuery<DateTimeOffset>($"""select now() as "Value" """).SingleAsync(cancellation);
        List<Guid> people = [await SetUpAsync(db, scenario, cancellation)];
        await AddPeopleAsync(scenario, people, cancellation);
        progress($"{people.Count} people");
        Guid coordinator = people[scenario.Accounts.ToList().FindIndex(a => a.Role == Role.Coordinator)];
        List<string> bins = [];
        foreach (DemoBin bin in scenario.Bins)
        {
            bins.Add((await DoAsync<CreateBin, BinView>(Founded, u => u.RunAsync(coordinator, new BinInput(bin.Name, bin.Kind, null, bin.Place, bin.Litres, ""), cancellation))).Code);
        }

        progress($"{bins.Count + 2} bins");
        IReadOnlyDictionary<string, Guid> pieces = await new DemoPieceBook(this, coordinator).WriteAsync(scenario, Founded, cancellation);
        progress($"{pieces.Count} pieces in the piece book");
        await new DemoYear(this, scenario, people, bins, pieces).RunAsync(DemoPlan.Make(scenario), progress, cancellation);
        foreach (DemoProject project in scenario.Projects.Where(p => p.PublicName is not null))
        {
            await db.Projects.Where(p => p.Name == project.Name).ExecuteUpdateAsync(p => p.SetProperty(x => x.PublicName, project.PublicName), cancellation);
        }

        Guid volunteer = people[scenario.Accounts.ToList().FindIndex(a => a.Role == Role.Volunteer)];
        await new DemoCounts(this, coordinator, volunteer, bins).RunAsync(progress, cancellation);
        await new DemoKits(this, volunteer, [.. people.Where((_, i) => scenario.Accounts[i].Role == Role.Member)]).RunAsync(progress, cancellation);
        DemoPlans plans = new(this, coordinator);
        await plans.ReckonAsync(ActivatorUtilities.CreateInstance<PlanRunner>(services, _connection.Contexts), cancellation);
        progress("what the projects lack");
        await plans.AskAsync(cancellation);
        await LapsedHoldsJob.TidyAsync(_connection.Contexts, cancellation);
        await _connection.EndAsync(cancellation);
    }

    /// <summary>The moment of a step, on the guild's wall clock.</summary>
    internal DateTimeOffset At(DemoMoment moment)
    {
        DateTime wall = Today.AddDays(-moment.DaysAgo).ToDateTime(TimeOnly.MinValue.AddMinutes(moment.Minute));
        return new DateTimeOffset(wall, _zone.GetUtcOffset(wall)).ToUniversalTime();
    }

    /// <summary>Runs a use case at a moment in a scope of its own; the demo must not be refused anything.</summary>
    internal async Task<TResult> DoAsync<TUseCase, TResult>(DemoMoment at, Func<TUseCase, Task<Outcome<TResult>>> use)
        where TUseCase : notnull
    {
        await using AsyncServiceScope scope = services.CreateAsyncScope();
        GuildWork work = new(_connection.Contexts, scope.ServiceProvider.GetRequiredService<IdempotencySlot>(), scope.ServiceProvider.GetRequiredService<GuildYardage>())
        {
            Earlier = _loaded - At(at),
        };
        Outcome<TResult> outcome = await use(ActivatorUtilities.CreateInstance<TUseCase>(scope.ServiceProvider, work));
        return outcome.IsOk ? outcome.Value : throw new InvalidOperationException($"{typeof(TUseCase).Name} refused: {string.Join(" ", outcome.Refusals)}");
    }

    private async Task<Guid> SetUpAsync(GuildDbContext db, DemoScenario scenario, CancellationToken cancellation)
    {
        DemoAccount first = scenario.Accounts[0];
        await using AsyncServiceScope scope = services.CreateAsyncScope();
        SetUpGuild setUp = ActivatorUtilities.CreateInstance<SetUpGuild>(scope.ServiceProvider, new FoundingClock(At(Founded)));
        Outcome<Guid> administrator = await setUp.RunAsync(
            new SetUpInput(scenario.Guild.Name, scenario.Guild.TimeZone, scenario.Guild.Culture, LengthUnit.Yards, first.Name, first.Email, scenario.Password), cancellation);
        if (!administrator.IsOk)
        {
            throw new InvalidOperationException($"{nameof(SetUpGuild)} refused: {string.Join(" ", administrator.Refusals)}");
        }

        await db.Guilds.ExecuteUpdateAsync(g => g.SetProperty(x => x.Address, scenario.Guild.Address).SetProperty(x => x.WantedIsPublic, true), cancellation);
        return administrator.Value;
    }

    /// <summary>In the order of the scenario, whose first account is the administrator made before.</summary>
    private async Task AddPeopleAsync(DemoScenario scenario, List<Guid> people, CancellationToken cancellation)
    {
        await using AsyncServiceScope scope = services.CreateAsyncScope();
        UserManager<Person> users = scope.ServiceProvider.GetRequiredService<UserManager<Person>>();
        users.PasswordHasher = new OneHash(users.PasswordHasher);
        foreach (DemoAccount account in scenario.Accounts.Skip(1))
        {
            cancellation.ThrowIfCancellationRequested();
            people.Add((await Accounts.CreateAsync(users, account.Name, account.Email, scenario.Password, account.Role, At(Founded))).Value.Id);
        }
    }

    /// <summary>All demo accounts have one password, told to everybody; hashing it anew for each would protect nothing.</summary>
    private sealed class OneHash(IPasswordHasher<Person> hasher) : IPasswordHasher<Person>
    {
        private (string Password, string Hash)? _last;

        public string HashPassword(Person user, string password)
        {
            _last = _last is { } last && last.Password == password ? last : (password, hasher.HashPassword(user, password));
            return _last.Value.Hash;
        }

        public PasswordVerificationResult VerifyHashedPassword(Person user, string hashedPassword, string providedPassword) =>
            hasher.VerifyHashedPassword(user, hashedPassword, providedPassword);
    }

    private sealed class FoundingClock(DateTimeOffset moment) : TimeProvider
    {
        public override DateTimeOffset GetUtcNow() => moment;
    }
}
