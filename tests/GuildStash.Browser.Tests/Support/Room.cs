using System.Text.RegularExpressions;
using GuildStash.Domain.People;
using GuildStash.TestSupport;
using Microsoft.Playwright;
using Xunit;

namespace GuildStash.Browser.Tests.Support;

/// <summary>A site that an administrator set up from the console's code, with a volunteer and a member who came by invitation.</summary>
public sealed partial class Room : IAsyncDisposable
{
    public const string Password = "thread the needle 7";

    private static readonly SemaphoreSlim Setting = new(1);
    private static Original? _original;

    private readonly BrowserFixture _browser;

    private Room(BrowserFixture browser, Site site) => (_browser, Site) = (browser, site);

    public Site Site { get; }

    public Visitor Administrator { get; private set; } = null!;

    public Visitor Volunteer { get; private set; } = null!;

    public Visitor Member { get; private set; } = null!;

    /// <summary>The site where it is a program of its own.</summary>
    public ProgramSite Program => (ProgramSite)Site;

    /// <summary>A room like the first one, which was set up by hand: a copy of its database, and the browsers of people who signed in there.</summary>
    /// <param name="who">Whose browsers are wanted; everybody's when nobody is named.</param>
    public static async Task<Room> OpenAsync(PostgresFixture postgres, BrowserFixture browser, bool volunteerOnPhone = false, params Role[] who)
    {
        Original original = await OriginalAsync(postgres, browser);
        return await EnterAsync(original, await HostedSite.StartAsync(await postgres.CopyAsync(original.Database)), browser, volunteerOnPhone, who);
    }

    /// <summary>The same, served by a program that can be killed.</summary>
    public static async Task<Room> OpenProgramAsync(PostgresFixture postgres, BrowserFixture browser, params Role[] who)
    {
        Original original = await OriginalAsync(postgres, browser);
        return await EnterAsync(original, await ProgramSite.StartAsync(await postgres.CopyAsync(original.Database)), browser, volunteerOnPhone: false, who);
    }

    private static async Task<Room> EnterAsync(Original original, Site site, BrowserFixture browser, bool volunteerOnPhone, Role[] who)
    {
        bool Comes(Role role) => who.Length == 0 || who.Contains(role);
        return new Room(browser, site)
        {
            Administrator = Comes(Role.Administrator) ? await Visitor.OpenAsync(browser, site, cookies: original.Administrator) : null!,
            Volunteer = Comes(Role.Volunteer) ? await Visitor.OpenAsync(browser, site, volunteerOnPhone, original.Volunteer) : null!,
            Member = Comes(Role.Member) ? await Visitor.OpenAsync(browser, site, cookies: original.Member) : null!,
        };
    }

    /// <summary>Sets up a site that has no guild yet.</summary>
    public static async Task<Room> OpenAsync(ProgramSite site, BrowserFixture browser, bool volunteerOnPhone = false)
    {
        Room room = new(browser, site);
        room.Administrator = await Visitor.OpenAsync(browser, room.Site);
        await room.SetUpAsync();
        room.Volunteer = await room.InviteAsync("Vera Volunteer", "volunteer@example.org", "Volunteer", volunteerOnPhone);
        room.Member = await room.InviteAsync("Mia Member", "member@example.org", "Member");
        return room;
    }

    /// <summary>A new person from the administrator's invitation link, signed in.</summary>
    public async Task<Visitor> InviteAsync(string name, string email, string role, bool phone = false)
    {
        IPage page = Administrator.Page;
        await Administrator.GoAsync("/people");
        await page.GetByRole(AriaRole.Button, new() { Name = "Invite somebody" }).ClickAsync();
        await page.GetByLabel("Role").First.SelectOptionAsync(new SelectOptionValue { Label = role });
        await page.GetByRole(AriaRole.Button, new() { Name = "Make the link" }).ClickAsync();
        string link = await page.GetByLabel("Link of the invitation").InputValueAsync();
        Visitor guest = await Visitor.OpenAsync(_browser, Site, phone);
        await guest.Page.GotoAsync(link);
        await guest.Page.GetByLabel("Your name").FillAsync(name);
        await guest.Page.GetByLabel("E-mail address").FillAsync(email);
        await guest.Page.GetByLabel("Password", new() { Exact = true }).FillAsync(Password);
        await guest.Page.GetByRole(AriaRole.Button, new() { Name = "Make my account" }).ClickAsync();
        await Assertions.Expect(guest.Page).Not.ToHaveURLAsync(new Regex("/invite"));
        return guest;
    }

    public async ValueTask DisposeAsync()
    {
        await CloseAsync();
        await Site.DisposeAsync();
    }

    private async Task CloseAsync()
    {
        foreach (Visitor visitor in new[] { Administrator, Volunteer, Member }.Where(v => v is not null))
        {
            await visitor.DisposeAsync();
        }
    }

    private static async Task<Original> OriginalAsync(PostgresFixture postgres, BrowserFixture browser)
    {
        await Setting.WaitAsync(Site.Cancellation);
        try
        {
            if (_original is null)
            {
                TestDatabase database = await postgres.CreateDatabaseAsync();
                Room room = await OpenAsync(await ProgramSite.StartAsync(database), browser);
                _original = new Original(database, await room.Administrator.CookiesAsync(), await room.Volunteer.CookiesAsync(), await room.Member.CookiesAsync());
                await room.CloseAsync();

                // Its database stays, to be copied, and is dropped with the server.
                await room.Program.KillAsync();
            }

            return _original;
        }
        finally
        {
            Setting.Release();
        }
    }

    private async Task SetUpAsync()
    {
        Match code = CodeInConsole().Match(await Program.PrintedAsync("/setup?code="));
        Assert.True(code.Success, Program.Output);
        IPage page = Administrator.Page;
        await page.GotoAsync("/setup?code=" + code.Groups[1].Value);
        await page.GetByLabel("Name of the guild").FillAsync("Harbour Yarn Guild");
        await page.GetByLabel("Yards").CheckAsync();
        await page.GetByLabel("Your name").FillAsync("Ada Admin");
        await page.GetByLabel("E-mail address").FillAsync("admin@example.org");
        await page.GetByLabel("Password", new() { Exact = true }).FillAsync(Password);
        await page.GetByRole(AriaRole.Button, new() { Name = "Set up the guild" }).ClickAsync();
        await Assertions.Expect(page).Not.ToHaveURLAsync(new Regex("/setup"));
    }

    private sealed record Original(TestDatabase Database, IReadOnlyList<Cookie> Administrator, IReadOnlyList<Cookie> Volunteer, IReadOnlyList<Cookie> Member);

    [GeneratedRegex(@"/setup\?code=([0-9A-Z-]+)")]
    private static partial Regex CodeInConsole();
}
