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

    await using DatabaseHandle database = await DatabaseHandle.OpenAsync(options, logger: null, stopping);
    await GuildDatabase.MigrateAsync(database.OwnerConnectionString, database.AppConnectionString, stopping);
    if (options.Command != AppCommand.Serve)
    {
        await Console.Error.WriteLineAsync($"{options.Command} on {database.Description}");
        return 0;
    }

    // Static files are beside the program, wherever it was started from.
    WebApplicationBuilder builder = WebApplication.CreateBuilder(new WebApplicationOptions { ContentRootPath = AppContext.BaseDirectory });
    builder.WebHost.UseUrls(options.ListenUrl);
    builder.AddGuildStash(new AppSettings(database.AppConnectionString, options.PublicUrl) { Proxies = options.Proxies });
    WebApplication app = builder.Build();
    app.UseGuildStash();
    await app.RunAsync(stopping);
    return 0;
});
