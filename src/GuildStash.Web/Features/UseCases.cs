using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features;

public static class UseCases
{
    /// <summary>A use case is a sealed class of a feature that does its work through <see cref="GuildWork"/>; all are registered, scoped.</summary>
    public static IServiceCollection AddUseCases(this IServiceCollection services)
    {
        foreach (Type type in All)
        {
            services.AddScoped(type);
        }

        return services;
    }

    public static IEnumerable<Type> All => typeof(UseCases).Assembly.GetTypes()
        .Where(t => t is { IsClass: true, IsAbstract: false, IsSealed: true }
            && t.Namespace?.StartsWith("GuildStash.Web.Features.", StringComparison.Ordinal) == true
            && t.GetConstructors() is [{ } constructor]
            && constructor.GetParameters().Any(p => p.ParameterType == typeof(GuildWork)));
}
