using GuildStash.Data;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Hosting;

CommandLineOutcome outcome = CommandLine.Parse(args);
if (outcome.Options is not { } options)
{
    return outcome.ExitCode;
}

return await Startup.RunAsync(async stopping =>
{
    if (options.Command == AppCommand.Serve)
    {
        Startup.CheckPort(options);
    }

    if (options.Command == AppCommand.Restore)
    {
        return await SafeKeepingCommands.RestoreAsync(options, stopping);
    }

    await using DatabaseHandle database = await DatabaseHandle.OpenAsync(options, logger: null, stopping);
    // A back-up is of the data as it is: it comes before an upgrade, and the app that is running may be the older one.
    if (options.Command != AppCommand.Backup)
    {
        await GuildDatabase.MigrateAsync(database.OwnerConnectionString, database.AppConnectionString, stopping);
    }

    if (options.Command != AppCommand.Serve)
    {
        return await AdminCommands.RunAsync(options, database, stopping);
    }

    if (options.Demo)
    {
        await AdminCommands.SeedOrTellAsync(options, database, stopping);
    }

    // Static files are beside the program, wherever it was started from.
    WebApplicationBuilder builder = GuildStashApp.CreateBuilder(AppContext.BaseDirectory, options.ListenUrl);
    builder.AddLogging();
    builder.AddGuildStash(new AppSettings(database.AppConnectionString, options.PublicUrl)
    {
        Proxies = options.Proxies,
        SafeKeeping = new SafeKeepingSettings(database.OwnerConnectionString, options.Backups),
    });
    WebApplication app = builder.Build();
    app.UseGuildStash();
    await AdminCommands.TellWhereAsync(app, options, database, stopping);
    await app.RunAsync(stopping);
    return 0;
});
