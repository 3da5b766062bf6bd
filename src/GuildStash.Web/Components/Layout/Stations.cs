namespace GuildStash.Web.Components.Layout;

/// <summary>One entry of the menu.</summary>
/// <param name="Name">English text and key.</param>
/// <param name="Href">Where it leads, from the root.</param>
/// <param name="Roles">Roles that see it, separated by commas; null for everybody who is signed in.</param>
/// <param name="Waiting">What waits there; null where nothing is counted.</param>
public sealed record MenuEntry(string Name, string Href, string? Roles = null, Func<WaitingCounts, int?>? Waiting = null);

/// <summary>The menu: the stations of the room in the order in which a bag passes them, then the rest.</summary>
public static class Stations
{
    private const string Volunteers = "volunteer,coordinator,administrator";
    private const string Coordinators = "coordinator,administrator";

    /// <summary>On the strand.</summary>
    public static readonly IReadOnlyList<MenuEntry> OnTheStrand =
    [
        new("Intake", "/intake", Volunteers, counts => counts.Intake),
        new("Sorting", "/sorting", Volunteers, counts => counts.Sorting),
        new("Bins", "/bins", Volunteers, counts => counts.Bins),
        new("Inventory", "/inventory"),
        new("Projects", "/projects", null, counts => counts.Projects),
        new("Hand-over", "/hand-over", Volunteers, counts => counts.HandOver),
    ];

    /// <summary>Below the line.</summary>
    public static readonly IReadOnlyList<MenuEntry> Below =
    [
        new("My yarn", "/my-yarn", null, counts => counts.MyYarn),
        new("Print room", "/print", Volunteers),
        new("People", "/people", Coordinators),
        new("Settings", "/settings", Coordinators),
    ];

    /// <summary>Four words at the bottom edge of a phone for who works in the room; "More" follows.</summary>
    public static readonly IReadOnlyList<MenuEntry> PhoneForVolunteers = [.. OnTheStrand.Take(4)];

    /// <summary>The same for members.</summary>
    public static readonly IReadOnlyList<MenuEntry> PhoneForMembers = [OnTheStrand[3], OnTheStrand[4], Below[0]];

    /// <summary>Roles of those who work in the room.</summary>
    public static string RoomRoles => Volunteers;
}
