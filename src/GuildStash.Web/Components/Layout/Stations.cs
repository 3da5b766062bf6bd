using GuildStash.Domain.People;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Components.Layout;

/// <summary>One entry of the menu.</summary>
/// <param name="Name">English text and key.</param>
/// <param name="Href">Where it leads, from the root.</param>
/// <param name="Least">The least role that sees it.</param>
/// <param name="Waiting">What waits there; null where nothing is counted.</param>
public sealed record MenuEntry(string Name, string Href, Role Least, Func<WaitingCounts, int?>? Waiting = null)
{
    /// <summary>The roles that see it, separated by commas.</summary>
    public string Roles { get; } = string.Join(',', Enum.GetValues<Role>().Where(role => role >= Least).Select(role => role.Key()));
}

/// <summary>The menu: the stations of the room in the order in which a bag passes them, then the rest.</summary>
public static class Stations
{
    /// <summary>On the strand.</summary>
    public static readonly IReadOnlyList<MenuEntry> OnTheStrand =
    [
        new("Intake", "/intake", Role.Volunteer, counts => counts.Intake),
        new("Sorting", "/sorting", Role.Volunteer, counts => counts.Sorting),
        new("Bins", "/bins", Role.Volunteer, counts => counts.Bins),
        new("Inventory", "/inventory", Role.Member),
        new("Projects", "/projects", Role.Member, counts => counts.Projects),
        new("Hand-over", "/hand-over", Role.Volunteer, counts => counts.HandOver),
    ];

    /// <summary>Below the line.</summary>
    public static readonly IReadOnlyList<MenuEntry> Below =
    [
        new("My yarn", "/my-yarn", Role.Member, counts => counts.MyYarn),
        new("Kits", "/kits", Role.Volunteer),
        new("Second person", "/second-person", Role.Volunteer, counts => counts.SecondPerson),
        new("Plans", "/plans", Role.Member),
        new("Measure", "/measure", Role.Member),
        new("Print room", "/print", Role.Volunteer),
        new("People", "/people", Role.Coordinator),
        new("Settings", "/settings", Role.Coordinator),
        new("Safe keeping", "/safe-keeping", Role.Administrator),
    ];

    /// <summary>On the page "More" only: what belongs to an entry of the menu and is reached from its page, too. A test asks that no page is forgotten.</summary>
    public static readonly IReadOnlyList<(string Under, IReadOnlyList<MenuEntry> Entries)> Further =
    [
        ("Intake", [new("New gift", "/intake/new", Role.Volunteer), new("Freezer runs", "/freezer", Role.Volunteer)]),
        ("Bins", [new("Count plan", "/counts", Role.Volunteer), new("New bin", "/bins/new", Role.Volunteer)]),
        ("Inventory", [new("All lots", "/inventory/lots", Role.Member), new("Reserve yarn", "/holds/new", Role.Member)]),
        ("Projects",
        [
            new("Piece book", "/pieces", Role.Member), new("Size table", "/pieces/sizes", Role.Member), new("Yarn wanted", "/wanted", Role.Member), new("Output", "/output", Role.Member),
        ]),
        ("Kits", [new("Fetch kits from the bins", "/kits/pick", Role.Volunteer)]),
        ("Plans", [new("New plan", "/plans/new", Role.Member)]),
        ("Settings",
        [
            new("Weight classes", "/settings/weight-classes", Role.Coordinator), new("How length is told", "/settings/measuring", Role.Coordinator),
            new("Rules of the room", "/settings/room-rules", Role.Coordinator), new("Scales", "/scales", Role.Coordinator),
        ]),
        ("Safe keeping", [new("Donors' data", "/safe-keeping/donors", Role.Administrator)]),
        ("Numbers, units and look", [new("Tokens", "/account/tokens", Role.Member)]),
    ];

    /// <summary>Four words at the bottom edge of a phone for who works in the room; "More" follows.</summary>
    public static readonly IReadOnlyList<MenuEntry> PhoneForVolunteers = [.. OnTheStrand.Take(4)];

    /// <summary>The same for members.</summary>
    public static readonly IReadOnlyList<MenuEntry> PhoneForMembers = [OnTheStrand[3], OnTheStrand[4], Below[0]];

    /// <summary>Roles of those who work in the room.</summary>
    public static string RoomRoles => OnTheStrand[0].Roles;
}
