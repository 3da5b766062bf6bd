using GuildStash.Data;
using Microsoft.AspNetCore.Diagnostics.HealthChecks;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Diagnostics.HealthChecks;

namespace GuildStash.Web.Infrastructure;

internal static class Health
{
    /// <summary>/health/live: the process answers. /health/ready, and /health for short: the database answers too.</summary>
    public static void MapHealth(this WebApplication app)
    {
        app.MapHealthChecks("/health").AllowAnonymous();
        app.MapHealthChecks("/health/live", new HealthCheckOptions { Predicate = _ => false }).AllowAnonymous();
        app.MapHealthChecks("/health/ready").AllowAnonymous();
    }
}

internal sealed class DatabaseHealth(IDbContextFactory<GuildDbContext> contexts) : IHealthCheck
{
    public async Task<HealthCheckResult> CheckHealthAsync(HealthCheckContext context, CancellationToken cancellationToken = default)
    {
        try
        {
            await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellationToken);
            await db.Database.ExecuteSqlAsync($"select 1 from guild limit 1", cancellationToken);
            return HealthCheckResult.Healthy();
        }
        catch (Exception exception) when (exception is not OperationCanceledException)
        {
            return HealthCheckResult.Unhealthy("The database does not answer.", exception);
        }
    }
}
