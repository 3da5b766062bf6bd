using Serilog;
using Serilog.Events;
using Serilog.Formatting.Compact;

namespace GuildStash.Web.Infrastructure;

internal static class Logging
{
    private const string Line = "{Timestamp:HH:mm:ss} {Level:u3} {Message:lj}{NewLine}{Exception}";

    /// <summary>
    /// Structured logs on standard error, so that standard output carries only what a command was asked for: one JSON object a line
    /// where GUILDSTASH_LOG is "json" (services, containers), plain lines for a person otherwise.
    /// </summary>
    public static void AddLogging(this WebApplicationBuilder builder)
    {
        builder.Logging.ClearProviders();
        builder.Services.AddSerilog(log =>
        {
            log.MinimumLevel.Information()
                .MinimumLevel.Override("Microsoft", LogEventLevel.Warning)
                .MinimumLevel.Override("Microsoft.Hosting.Lifetime", LogEventLevel.Information)
                .MinimumLevel.Override("Npgsql", LogEventLevel.Warning)
                .Enrich.FromLogContext();
            if (string.Equals(builder.Configuration["GUILDSTASH_LOG"], "json", StringComparison.OrdinalIgnoreCase))
            {
                log.WriteTo.Console(new RenderedCompactJsonFormatter(), standardErrorFromLevel: LogEventLevel.Verbose);
            }
            else
            {
                log.WriteTo.Console(outputTemplate: Line, standardErrorFromLevel: LogEventLevel.Verbose, formatProvider: System.Globalization.CultureInfo.InvariantCulture);
            }
        });
    }
}
