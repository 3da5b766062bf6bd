using System.Text.Json;
using GuildStash.Browser.Tests.Support;
using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Data.Stock;
using GuildStash.Domain.Colours;
using GuildStash.Domain.People;
using GuildStash.TestSupport;
using Microsoft.EntityFrameworkCore;
using Microsoft.Playwright;
using Xunit;

namespace GuildStash.Browser.Tests.Access;

[CollectionDefinition(Name)]
public sealed class DemoCollection : ICollectionFixture<DemoSite>
{
    public const string Name = "Demo";
}

/// <summary>The demo guild in the published program, with one signed-in browser for each role.</summary>
public sealed class DemoSite(PostgresFixture postgres, BrowserFixture browser) : IAsyncLifetime
{
    private const int Nobody = -1;

    private readonly Dictionary<int, Visitor> _visitors = [];
    private readonly Dictionary<string, string> _places = [];
    private Dictionary<Role, string> _emails = [];
    private string _password = "";

    public ProgramSite Site { get; private set; } = null!;

    public async ValueTask InitializeAsync()
    {
        TestDatabase database = await postgres.CreateDatabaseAsync();
        await SharedDemo.TakeAsync(database, CancellationToken.None);
        Site = await ProgramSite.StartAsync(database, "--demo");
        using JsonDocument guild = JsonDocument.Parse(await File.ReadAllTextAsync(Path.Combine(Support.Site.ProgramFolder, "seed-demo", "guild.json")));
        _password = guild.RootElement.GetProperty("password").GetString()!;
        _emails = guild.RootElement.GetProperty("accounts").EnumerateArray()
            .GroupBy(a => Enum.Parse<Role>(a.GetProperty("role").GetString()!)).ToDictionary(g => g.Key, g => g.First().GetProperty("email").GetString()!);
        await FindPlacesAsync();
        foreach (Role role in Enum.GetValues<Role>())
        {
            _visitors[(int)role] = await SignInAsync(role);
        }

        _visitors[Nobody] = await Visitor.OpenAsync(browser, Site);
        _places["newPassword"] = await NewPasswordAsync(_visitors[(int)Role.Administrator]);
        _places["invitation"] = await InviteAsync(_visitors[(int)Role.Administrator]);
    }

    /// <summary>The browser of a role, or of somebody who has not signed in.</summary>
    public Visitor Of(Role? role) => _visitors[role is { } known ? (int)known : Nobody];

    /// <summary>A further browser of this role's person, who has signed in already.</summary>
    public async Task<Visitor> EnterAsync(Role role, bool phone = false) => await Visitor.OpenAsync(browser, Site, phone, await Of(role).CookiesAsync());

    /// <summary>A further browser in which this role's person signs in.</summary>
    public async Task<Visitor> SignInAsync(Role role, bool phone = false)
    {
        Visitor visitor = await Visitor.OpenAsync(browser, Site, phone);
        await visitor.SignInAsync(_emails[role], _password);
        return visitor;
    }

    /// <summary>The address with the demo guild's own codes and keys in place of the words in braces.</summary>
    public string Address(string path) => _places.Aggregate(path, (address, place) => address.Replace($"{{{place.Key}}}", place.Value, StringComparison.Ordinal));

    public async ValueTask DisposeAsync()
    {
        foreach (Visitor visitor in _visitors.Values)
        {
            await visitor.DisposeAsync();
        }

        if (Site is not null)
        {
            await Site.DisposeAsync();
        }
    }

    private async Task FindPlacesAsync()
    {
        await using GuildDbContext db = GuildDatabase.Open(Site.OwnerConnectionString);
        Lot lot = await db.Lots.Where(l => l.OnHandMg - l.HeldMg > 50_000 && l.ClosedAt == null && l.MetresPer100gLow != null && l.Bin.Kind == BinKind.Shelf && l.ColourHex != null)
            .OrderByDescending(l => l.OnHandMg).ThenBy(l => l.Code).Include(l => l.Bin).FirstAsync();
        _places["lot"] = lot.Code;
        _places["bin"] = lot.Bin.Code;
        _places["spare"] = await db.Lots.Where(l => l.OnHandMg - l.HeldMg > 50_000 && l.ClosedAt == null && l.QuarantineReason == null && l.Bin.Kind == BinKind.Shelf && l.ColourHex != null && l.Id != lot.Id)
            .OrderByDescending(l => l.OnHandMg).ThenBy(l => l.Code).Select(l => l.Code).FirstAsync();
        _places["redLot"] = await db.Lots.Where(l => l.OnHandMg - l.HeldMg > 50_000 && l.ClosedAt == null && l.QuarantineReason == null && l.WrapsCount != null && l.Bin.Kind == BinKind.Shelf && l.ColourFamily == ColourFamily.Red)
            .OrderByDescending(l => l.OnHandMg).ThenBy(l => l.Code).Select(l => l.Code).FirstAsync();
        _places["merged"] = await db.Lots.Where(l => l.MergedIntoId != null).OrderBy(l => l.Code).Select(l => l.Code).FirstAsync();
        _places["plan"] = $"{await PlanAsync(db)}";
        _places["openKit"] = await db.Kits.Where(k => k.PackedAt == null && k.GivenAt == null).OrderBy(k => k.Number).Select(k => k.Number).FirstAsync();
        _places["packedKit"] = await db.Kits.Where(k => k.PackedAt != null && k.GivenAt == null).OrderBy(k => k.Number).Select(k => k.Number).FirstAsync();
        _places["homeKit"] = await db.Kits.Where(k => k.Lines.Any(l => db.Checkouts.Any(c => c.HoldId == l.HoldId && c.ClosedAt == null))).OrderBy(k => k.Number).Select(k => k.Number).FirstAsync();
        _places["gift"] = $"{lot.DonationId}";
        _places["sorted"] = $"{lot.BagId}";
        _places["bag"] = $"{await db.Bags.Where(b => b.ClosedAt == null && b.QuarantineReason == null).OrderByDescending(b => db.Lots.Count(l => l.BagId == b.Id)).ThenBy(b => b.Id).Select(b => b.Id).FirstAsync()}";
        _places["project"] = $"{await db.Projects.OrderByDescending(p => db.HoldRequests.Count(r => r.ProjectId == p.Id)).ThenBy(p => p.Name).Select(p => p.Id).FirstAsync()}";
        _places["piece"] = $"{await db.Pieces.Where(p => p.ForInfants).OrderByDescending(p => p.Parts.Count).ThenBy(p => p.Name).Select(p => p.Id).FirstAsync()}";
        _places["drive"] = await db.Projects.Where(p => p.PublicName != null).OrderBy(p => p.Name).Select(p => p.PublicName!).FirstAsync();
        await OpenRecords.WantAsync(db);
        _places["request"] = $"{await db.HoldRequests.Where(r => r.Holds.Any(h => h.State == HoldState.Active && h.ExpiresAt > DateTimeOffset.UtcNow)).OrderByDescending(r => r.Number).Select(r => r.Id).FirstAsync()}";
    }

    /// <summary>The demo's plan, once the program has found its answer: a page that still follows a search changes while it is looked at.</summary>
    private static async Task<Guid> PlanAsync(GuildDbContext db)
    {
        using PeriodicTimer again = new(TimeSpan.FromMilliseconds(200));
        while (!await db.Plans.AnyAsync(p => p.Purpose == PlanPurpose.Room && p.State == PlanState.Done))
        {
            await again.WaitForNextTickAsync();
        }

        return await db.Plans.Where(p => p.Purpose == PlanPurpose.Room && p.State == PlanState.Done).Select(p => p.Id).FirstAsync();
    }

    /// <summary>A link that nobody uses, so that the password stays.</summary>
    private static async Task<string> NewPasswordAsync(Visitor administrator)
    {
        IPage page = administrator.Page;
        await administrator.GoAsync("/people");
        await page.GetByRole(AriaRole.Button, new() { NameRegex = new("^Change ") }).First.ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Make a link for a new password" }).ClickAsync();
        return (await page.GetByLabel("Link for a new password").InputValueAsync()).Split('/')[^1];
    }

    private static async Task<string> InviteAsync(Visitor administrator)
    {
        IPage page = administrator.Page;
        await administrator.GoAsync("/people");
        await page.GetByRole(AriaRole.Button, new() { Name = "Invite somebody" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Make the link" }).ClickAsync();
        return (await page.GetByLabel("Link of the invitation").InputValueAsync()).Split('/')[^1];
    }
}
