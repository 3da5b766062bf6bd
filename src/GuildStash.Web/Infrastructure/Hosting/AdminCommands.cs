using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Data.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Demo;
using GuildStash.Web.Features.People;
using GuildStash.Web.Features.Setup;
using Microsoft.AspNetCore.Identity;

namespace GuildStash.Web.Infrastructure.Hosting;

/// <summary>What the program does from the console instead of serving pages.</summary>
internal static class AdminCommands
{
    public static async Task<int> RunAsync(AppOptions options, DatabaseHandle database, CancellationToken cancellation) => options.Command switch
    {
        AppCommand.SeedDemo => await SeedAsync(options, database, cancellation),
        AppCommand.Token => await TokenAsync(options, database, cancellation),
        AppCommand.NewPassword => await NewPasswordAsync(options, database, cancellation),
        AppCommand.Check => await CheckAsync(database, cancellation),
        AppCommand.Backup => await SafeKeepingCommands.BackupAsync(options, database, cancellation),
        AppCommand.Export => await SafeKeepingCommands.ExportAsync(options, database, cancellation),
        _ => throw new ArgumentOutOfRangeException(nameof(options), options.Command, "This command serves pages."),
    };

    /// <summary>Loads the demo guild when the database has no guild yet.</summary>
    /// <returns>True when it was loaded now.</returns>
    private static async Task<bool> SeedIfEmptyAsync(AppOptions options, DatabaseHandle database, CancellationToken cancellation)
    {
        await using WebApplication app = WithoutServer(options, database);
        await using AsyncServiceScope scope = app.Services.CreateAsyncScope();
        if (!await scope.ServiceProvider.GetRequiredService<SetUpGuild>().IsNeededAsync(cancellation))
        {
            return false;
        }

        DemoScenario scenario = await DemoScenario.ReadAsync(DemoScenario.DefaultFolder, cancellation);
        await Console.Error.WriteLineAsync($"Loading the demo guild \"{scenario.Guild.Name}\" …");
        await scope.ServiceProvider.GetRequiredService<DemoGuild>().SeedAsync(scenario, line => Console.Error.WriteLine($"  {line}"), cancellation);
        return true;
    }

    /// <summary>Loads the demo guild, or says that the guild which is there already is served, and tells who can sign in.</summary>
    public static async Task SeedOrTellAsync(AppOptions options, DatabaseHandle database, CancellationToken cancellation)
    {
        if (!await SeedIfEmptyAsync(options, database, cancellation))
        {
            Console.WriteLine("The database has a guild already, which is served as it is; nothing was loaded. Where it isn't the demo guild, its own accounts are needed: use an empty data folder (--data DIR) for the demo guild.");
        }

        await PrintDemoAccountsAsync(cancellation);
    }

    /// <summary>The lines that tell who can sign in to the demo guild.</summary>
    private static async Task PrintDemoAccountsAsync(CancellationToken cancellation)
    {
        DemoScenario scenario = await DemoScenario.ReadAsync(DemoScenario.DefaultFolder, cancellation);
        Console.WriteLine($"Demo accounts, all with the password {scenario.Password}");
        foreach (DemoAccount account in scenario.Accounts.Take(4))
        {
            Console.WriteLine($"  {account.Email,-28} {account.Role}");
        }
    }

    /// <summary>Says where the site is once it serves, how to set up a new guild, and what phones still need.</summary>
    public static async Task TellWhereAsync(WebApplication app, AppOptions options, DatabaseHandle database, CancellationToken cancellation)
    {
        string? setUp = await app.Services.GetRequiredService<SetUpCode>().LineAsync(options.LocalUrl, cancellation);
        app.Lifetime.ApplicationStarted.Register(() =>
        {
            Console.WriteLine($"GuildStash serves on {options.LocalUrl} ({database.Description}). Ctrl-C stops it.");
            if (setUp is not null)
            {
                Console.WriteLine(setUp);
            }

            if (options.PublicUrl is null)
            {
                Console.WriteLine($"QR codes point to this machine only until {CommandLine.PublicUrl} says under which address phones reach it.");
            }
        });
    }

    private static async Task<int> SeedAsync(AppOptions options, DatabaseHandle database, CancellationToken cancellation)
    {
        if (!await SeedIfEmptyAsync(options, database, cancellation))
        {
            await Console.Error.WriteLineAsync("This database has a guild already, so nothing was loaded. Use an empty data folder (--data DIR) for the demo guild.");
            return CommandLine.CannotStart;
        }

        await PrintDemoAccountsAsync(cancellation);
        return 0;
    }

    private static async Task<int> TokenAsync(AppOptions options, DatabaseHandle database, CancellationToken cancellation)
    {
        await using GuildDbContext db = GuildDatabase.Open(database.AppConnectionString);
        Outcome<string> token = await TokenIssuer.IssueAsync(db, options.Email!, options.TokenName!, options.TokenScope, cancellation);
        if (!token.IsOk)
        {
            await Console.Error.WriteLineAsync(token.Refusal.ToString());
            return CommandLine.CannotStart;
        }

        Console.WriteLine(token.Value);
        return 0;
    }

    /// <summary>The link is made with the keys in the database, so that the running site takes it.</summary>
    private static async Task<int> NewPasswordAsync(AppOptions options, DatabaseHandle database, CancellationToken cancellation)
    {
        await using WebApplication app = WithoutServer(options, database);
        await using AsyncServiceScope scope = app.Services.CreateAsyncScope();
        Outcome<string> path = await NewPasswordLinks.IssueAsync(
            scope.ServiceProvider.GetRequiredService<GuildDbContext>(), scope.ServiceProvider.GetRequiredService<UserManager<Person>>(), options.Email!, cancellation);
        if (!path.IsOk)
        {
            await Console.Error.WriteLineAsync(path.Refusal.ToString());
            return CommandLine.CannotStart;
        }

        if (options.PublicUrl is null)
        {
            await Console.Error.WriteLineAsync($"This link opens on this machine only, until {CommandLine.PublicUrl} says under which address others reach the site.");
        }

        Console.WriteLine((options.PublicUrl ?? options.LocalUrl) + path.Value);
        return 0;
    }

    private static async Task<int> CheckAsync(DatabaseHandle database, CancellationToken cancellation)
    {
        await using GuildDbContext db = GuildDatabase.Open(database.AppConnectionString);
        return Told(await BookAudit.RunAsync(db, cancellation));
    }

    /// <summary>Prints what an audit looked at and what is wrong.</summary>
    /// <returns>The exit code: 1 when anything is.</returns>
    public static int Told(IReadOnlyList<AuditLine> lines)
    {
        foreach (AuditLine line in lines)
        {
            Console.WriteLine($"{(line.Faults.Count == 0 ? "ok   " : "WRONG")} {line.What} ({line.Examined} looked at)");
            foreach (Phrase fault in line.Faults)
            {
                Console.WriteLine($"      {fault}");
            }
        }

        int wrong = lines.Sum(l => l.Faults.Count);
        Console.WriteLine(wrong == 0 ? "The books are clean." : $"{wrong} faults were found.");
        return wrong == 0 ? 0 : 1;
    }

    private static WebApplication WithoutServer(AppOptions options, DatabaseHandle database)
    {
        WebApplicationBuilder builder = WebApplication.CreateBuilder(new WebApplicationOptions { ContentRootPath = AppContext.BaseDirectory });
        builder.AddLogging();
        builder.AddGuildStash(new AppSettings(database.AppConnectionString, options.PublicUrl));
        return builder.Build();
    }
}
