using GuildStash.Data;
using GuildStash.Data.People;
using GuildStash.Data.Stock;
using GuildStash.Domain.People;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.People;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Features.Setup;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Demo;

/// <summary>
/// Fills an empty database with the demo guild, through the same use cases as the pages, with a seeded generator: the same
/// scenario gives the same yarn every time.
/// </summary>
public sealed class DemoGuild(IServiceProvider services)
{
    /// <summary>Makes guild, accounts, bins, projects, gifts, lots, holds, hand-overs and returns.</summary>
    /// <param name="progress">Gets a line for each step.</param>
    /// <exception cref="InvalidOperationException">The database has a guild already, or a use case refused.</exception>
    public async Task SeedAsync(DemoScenario scenario, Action<string> progress, CancellationToken cancellation)
    {
        Guid administrator = await SetUpAsync(scenario, cancellation);
        Dictionary<Role, List<Guid>> people = await AddPeopleAsync(scenario, administrator, cancellation);
        progress($"{scenario.Accounts.Count} people");
        Guid coordinator = people[Role.Coordinator][0];
        List<string> bins = [];
        foreach (DemoBin bin in scenario.Bins)
        {
            bins.Add((await DoAsync<CreateBin, BinView>(u => u.RunAsync(coordinator, new BinInput(bin.Name, BinKind.Shelf, null, bin.Place, bin.Litres, ""), cancellation))).Code);
        }

        progress($"{bins.Count + 2} bins");
        List<Guid> projects = [];
        DateOnly today = DateOnly.FromDateTime(DateTime.UtcNow);
        foreach (DemoProject project in scenario.Projects)
        {
            projects.Add(await DoAsync<CreateProject, Guid>(u => u.RunAsync(coordinator, ToInput(project, today), cancellation)));
        }

        progress($"{projects.Count} projects");
        await new DemoYarnFlow(this, scenario, people, bins, projects, today).RunAsync(progress, cancellation);
    }

    /// <summary>Runs a use case in a scope of its own; the demo must not be refused anything.</summary>
    internal async Task<TResult> DoAsync<TUseCase, TResult>(Func<TUseCase, Task<Outcome<TResult>>> use)
        where TUseCase : notnull
    {
        await using AsyncServiceScope scope = services.CreateAsyncScope();
        Outcome<TResult> outcome = await use(scope.ServiceProvider.GetRequiredService<TUseCase>());
        return outcome.IsOk ? outcome.Value : throw new InvalidOperationException($"{typeof(TUseCase).Name} refused: {string.Join(" ", outcome.Refusals)}");
    }

    private async Task<Guid> SetUpAsync(DemoScenario scenario, CancellationToken cancellation)
    {
        DemoAccount first = scenario.Accounts.First(a => a.Role == Role.Administrator);
        Guid administrator = await DoAsync<SetUpGuild, Guid>(u => u.RunAsync(
            new SetUpInput(scenario.Guild.Name, scenario.Guild.TimeZone, scenario.Guild.Culture, LengthUnit.Yards, first.Name, first.Email, scenario.Password), cancellation));
        await using AsyncServiceScope scope = services.CreateAsyncScope();
        GuildDbContext db = scope.ServiceProvider.GetRequiredService<GuildDbContext>();
        await db.Guilds.ExecuteUpdateAsync(g => g.SetProperty(x => x.Address, scenario.Guild.Address), cancellation);
        return administrator;
    }

    private async Task<Dictionary<Role, List<Guid>>> AddPeopleAsync(DemoScenario scenario, Guid administrator, CancellationToken cancellation)
    {
        Dictionary<Role, List<Guid>> people = Enum.GetValues<Role>().ToDictionary(r => r, _ => new List<Guid>());
        people[Role.Administrator].Add(administrator);
        await using AsyncServiceScope scope = services.CreateAsyncScope();
        UserManager<Person> users = scope.ServiceProvider.GetRequiredService<UserManager<Person>>();
        foreach (DemoAccount account in scenario.Accounts.Where(a => a.Role != Role.Administrator))
        {
            cancellation.ThrowIfCancellationRequested();
            Outcome<Person> person = await Accounts.CreateAsync(users, account.Name, account.Email, scenario.Password, account.Role, DateTimeOffset.UtcNow);
            people[account.Role].Add(person.Value.Id);
        }

        return people;
    }

    private static ProjectInput ToInput(DemoProject project, DateOnly today) => new()
    {
        Name = project.Name,
        Recipient = project.Recipient,
        Description = project.Description,
        Rules = project.Rules.Aggregate(RecipientRules.None, (all, rule) => all | rule),
        Deadline = today.AddDays(project.DeadlineInDays),
        Pieces = [.. project.Pieces.Select(p => new PieceInput(p.Name, p.Wanted, p.Notes))],
    };
}
