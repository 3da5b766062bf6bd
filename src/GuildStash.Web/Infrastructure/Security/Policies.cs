using GuildStash.Domain.People;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Authorization;

namespace GuildStash.Web.Infrastructure.Security;

/// <summary>Names of the rights that pages ask for. They keep pages tidy; each use case asks the database again.</summary>
public static class Policies
{
    public const string Volunteer = "volunteer-or-more";
    public const string Coordinator = "coordinator-or-more";
    public const string Administrator = "administrator";

    public static void Add(AuthorizationOptions options)
    {
        options.AddPolicy(Volunteer, p => p.RequireRole(RolesFrom(Role.Volunteer)));
        options.AddPolicy(Coordinator, p => p.RequireRole(RolesFrom(Role.Coordinator)));
        options.AddPolicy(Administrator, p => p.RequireRole(RolesFrom(Role.Administrator)));
    }

    private static string[] RolesFrom(Role least) => [.. Enum.GetValues<Role>().Where(r => r >= least).Select(r => r.Key())];
}
