using GuildStash.Domain.People;

namespace GuildStash.Browser.Tests.Access;

/// <summary>One page as one person sees it.</summary>
/// <param name="Path">From the root; words in braces stand for something that the demo guild has, see <see cref="DemoSite"/>.</param>
/// <param name="Role">Who opens it; null: nobody is signed in.</param>
/// <param name="Status">What the server answers.</param>
public sealed record Spot(string Path, Role? Role, int Status = 200)
{
    private static readonly string[] StaticPages = ["/account/sign-in", "/account/preferences", "/account/new-password/", "/invite/", "/setup", "/error", "/drives/", "/wanted/open"];

    /// <summary>Pages that sign people in, those for everybody and the page of a fault take no part in the circuit.</summary>
    public bool IsStatic => StaticPages.Any(start => Path.StartsWith(start, StringComparison.Ordinal));

    /// <summary>The first part of its path.</summary>
    public string Area => Path.Split('/', '?')[1];

    public override string ToString() => $"{Path} ({Role?.ToString() ?? "nobody"})";
}

/// <summary>Every page of the application.</summary>
public static class PageList
{
    public static readonly IReadOnlyList<Spot> All =
    [
        new("/account/sign-in", null),
        new("/invite/{invitation}", null),
        new("/invite/none", null),
        new("/account/new-password/{newPassword}", null),
        new("/account/new-password/none", null),
        new("/no-such-page", null, 404),
        new("/error", null),
        new("/drives/{drive}", null),
        new("/drives/none", null, 404),
        new("/wanted/open", null),
        new("/", Role.Member),
        new("/inventory", Role.Member),
        new("/inventory?view=table", Role.Member),
        new("/inventory?view=table&unit=grams", Role.Member),
        new("/inventory?view=charts", Role.Member),
        new("/inventory?view=charts&unit=lots&status=shelves", Role.Member),
        new("/inventory/lots", Role.Member),
        new("/inventory/lots?page=9999", Role.Member),
        new("/inventory/{lot}", Role.Member),
        new("/projects", Role.Member),
        new("/projects/{project}", Role.Member),
        new("/pieces", Role.Member),
        new("/pieces/{piece}", Role.Member),
        new("/pieces/sizes", Role.Member),
        new("/wanted", Role.Member),
        new("/output", Role.Member),
        new("/output?unit=length", Role.Member),
        new("/output?year=1999", Role.Member),
        new("/kits/{openKit}", Role.Member),
        new("/kits/pieces/{piece}", Role.Member),
        new("/holds/new", Role.Member),
        new("/holds/new?lots={lot}", Role.Member),
        new("/my-yarn", Role.Member),
        new("/measure", Role.Member),
        new("/measure?wraps=30&grams=48.5&band=4%20ply%20125%20m%2F50%20g%208%2F2%2080%25%20WO%2020%25%20PA%20flurpel", Role.Member),
        new("/more", Role.Member),
        new("/not-allowed", Role.Member),
        new("/account/preferences", Role.Member),
        new("/account/tokens", Role.Member),
        new("/glossary", Role.Member),
        new("/guide", Role.Member),
        new("/guide/volunteer", Role.Member),
        new("/guide/operate", Role.Member),
        new("/guide/sources", Role.Member),
        new("/plans", Role.Member),
        new("/plans/new", Role.Member),
        new("/plans/00000000-0000-7000-8000-000000000000", Role.Member),
        new("/", Role.Volunteer),
        new("/intake", Role.Volunteer),
        new("/intake/new", Role.Volunteer),
        new("/intake/{gift}", Role.Volunteer),
        new("/sorting", Role.Volunteer),
        new("/sorting/{bag}", Role.Volunteer),
        new("/sorting/{sorted}", Role.Volunteer),
        new("/bins", Role.Volunteer),
        new("/bins/{bin}", Role.Volunteer),
        new("/bins/{bin}?do=count", Role.Volunteer),
        new("/counts", Role.Volunteer),
        new("/kits", Role.Volunteer),
        new("/kits?state=done", Role.Volunteer),
        new("/kits/new?lots={spare}", Role.Volunteer),
        new("/kits/pick", Role.Volunteer),
        new("/kits/{openKit}", Role.Volunteer),
        new("/kits/{packedKit}", Role.Coordinator),
        new("/kits/{homeKit}", Role.Volunteer),
        new("/kits/K-2000-0001", Role.Volunteer),
        new("/scales", Role.Coordinator),
        new("/inventory/{lot}", Role.Volunteer),
        new("/inventory/{merged}", Role.Volunteer),
        new("/inventory/{merged}/history", Role.Member),
        new("/inventory/{lot}/merge", Role.Volunteer),
        new("/inventory/{lot}/correct", Role.Volunteer),
        new("/intake/{gift}/history", Role.Volunteer),
        new("/", Role.Coordinator),
        new("/inventory/lots?class=dk", Role.Coordinator),
        new("/inventory?view=charts&class=dk", Role.Coordinator),
        new("/bins/new", Role.Coordinator),
        new("/bins/{bin}/edit", Role.Coordinator),
        new("/wanted", Role.Coordinator),
        new("/drives/{drive}", Role.Coordinator),
        new("/hand-over", Role.Coordinator),
        new("/hand-over?tab=home", Role.Coordinator),
        new("/hand-over/now?lot={lot}", Role.Coordinator),
        new("/holds/{request}", Role.Coordinator),
        new("/plans", Role.Coordinator),
        new("/plans/new?project={project}", Role.Coordinator),
        new("/plans/{plan}", Role.Coordinator),
        new("/holds/00000000-0000-7000-8000-000000000000", Role.Coordinator),
        new("/settings/weight-classes", Role.Coordinator),
        new("/settings/weight-classes/change", Role.Coordinator),
        new("/settings/measuring", Role.Coordinator),
        new("/settings/room-rules", Role.Coordinator),
        new("/second-person", Role.Coordinator),
        new("/freezer", Role.Volunteer),
        new("/second-person?show=settled", Role.Volunteer),
        new("/pieces", Role.Coordinator),
        new("/pieces?search=nothing%20like%20it", Role.Coordinator),
        new("/pieces/new", Role.Coordinator),
        new("/pieces/{piece}", Role.Coordinator),
        new("/pieces/{piece}/edit", Role.Coordinator),
        new("/pieces/00000000-0000-7000-8000-000000000000", Role.Coordinator),
        new("/pieces/sizes", Role.Coordinator),
        new("/pieces/sizes/change", Role.Coordinator),
        new("/projects/new", Role.Coordinator),
        new("/projects/{project}", Role.Coordinator),
        new("/projects/{project}/edit", Role.Coordinator),
        new("/", Role.Administrator),
        new("/print", Role.Administrator),
        new("/people", Role.Administrator),
        new("/settings", Role.Administrator),
        new("/safe-keeping", Role.Administrator),
        new("/safe-keeping/donors", Role.Administrator),
        new("/holds/new?lots={lot}", Role.Administrator),
        new("/inventory/ZZZZZZZ", Role.Administrator),
        new("/bins/ZZZZ", Role.Administrator),
        new("/my-yarn", Role.Administrator),
    ];
}
