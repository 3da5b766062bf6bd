using GuildStash.Domain.People;
using GuildStash.Domain.Rules;

namespace GuildStash.Web.Infrastructure.Work;

/// <summary>Names of the roles for people, and their keys in claims.</summary>
public static class RoleNames
{
    public static Phrase Of(Role role) => new(role switch
    {
        Role.Member => "Member",
        Role.Volunteer => "Volunteer",
        Role.Coordinator => "Coordinator",
        Role.Administrator => "Administrator",
        _ => throw new ArgumentOutOfRangeException(nameof(role), role, "Unknown role."),
    });

    /// <summary>Claim value, for instance "volunteer".</summary>
    public static string Key(this Role role) => role.ToString().ToLowerInvariant();
}
