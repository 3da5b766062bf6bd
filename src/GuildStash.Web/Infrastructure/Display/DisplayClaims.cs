namespace GuildStash.Web.Infrastructure.Display;

/// <summary>
/// Claims that carry how a person wants to read. They are issued at sign-in and again when the person changes them, so that
/// pages, circuits and static forms agree without asking the database.
/// </summary>
public static class DisplayClaims
{
    /// <summary>The name to greet by.</summary>
    public const string Name = "display_name";

    /// <summary>BCP 47 name of the culture, such as "de-DE"; absent or empty follows the guild.</summary>
    public const string Culture = "display_culture";

    /// <summary>Name of a <see cref="GuildStash.Domain.People.LengthUnit"/>; absent follows the guild.</summary>
    public const string LengthUnit = "display_length_unit";

    /// <summary>Name of a <see cref="GuildStash.Domain.People.Theme"/>; absent follows the system.</summary>
    public const string Theme = "display_theme";
}
