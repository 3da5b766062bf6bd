namespace GuildStash.Web.Features.Words;

/// <summary>Where the guides tell how a page is worked with.</summary>
/// <param name="Start">How the page's address begins, from the root; whole parts between slashes count.</param>
/// <param name="Chapter">Name of the chapter.</param>
/// <param name="Anchor">Heading in it.</param>
public sealed record HelpLink(string Start, string Chapter, string Anchor)
{
    /// <summary>Where it leads.</summary>
    public string Href => $"{Guides.Address}/{Chapter}#{Anchor}";

    /// <summary>The heading there; null where the guide has lost it.</summary>
    public string? Heading => Guides.Find(Chapter)?.Headings.FirstOrDefault(section => section.Anchor == Anchor)?.Heading;
}

/// <summary>The pages and their chapters.</summary>
public static class HelpLinks
{
    /// <summary>The longer beginning counts.</summary>
    public static readonly IReadOnlyList<HelpLink> All =
    [
        new("/intake", "volunteer", "log-a-gift"),
        new("/sorting", "volunteer", "sort-a-bag"),
        new("/measure", "volunteer", "measure-a-ball"),
        new("/bins", "volunteer", "put-yarn-away"),
        new("/bins/new", "coordinator", "bins"),
        new("/print", "volunteer", "put-yarn-away"),
        new("/kits", "volunteer", "kits"),
        new("/hand-over", "volunteer", "hand-yarn-over"),
        new("/inventory", "member", "find-yarn"),
        new("/holds", "member", "reserve"),
        new("/my-yarn", "member", "at-home"),
        new("/account/preferences", "member", "your-own-look"),
        new("/account/tokens", "coordinator", "other-programs"),
        new("/projects", "coordinator", "projects"),
        new("/pieces", "coordinator", "piece-book"),
        new("/wanted", "coordinator", "yarn-wanted"),
        new("/output", "coordinator", "output"),
        new("/plans", "member", "plans"),
        new("/people", "coordinator", "people"),
        new("/settings", "coordinator", "settings"),
        new("/settings/room-rules", "coordinator", "rules-of-the-room"),
        new("/second-person", "volunteer", "a-second-person"),
        new("/freezer", "volunteer", "freeze-what-is-kept-apart"),
        new("/counts", "volunteer", "count-a-bin"),
        new("/scales", "coordinator", "scales"),
        new("/safe-keeping", "operate", "back-up"),
        new("/safe-keeping/donors", "operate", "donors-data"),
    ];

    /// <param name="path">From the root, with or without what follows a question mark.</param>
    /// <returns>Null for pages that explain themselves.</returns>
    public static HelpLink? For(string path)
    {
        string page = path.Split('?', '#')[0].TrimEnd('/');
        return All.Where(link => page == link.Start || page.StartsWith(link.Start + "/", StringComparison.Ordinal)).MaxBy(link => link.Start.Length);
    }
}
