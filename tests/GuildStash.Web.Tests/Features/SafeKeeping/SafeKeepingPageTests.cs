using Bunit;
using GuildStash.Data.SafeKeeping;
using GuildStash.TestSupport;
using GuildStash.Web.Features.SafeKeeping;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Tests.Components;
using GuildStash.Web.Tests.Support;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace GuildStash.Web.Tests.Features.SafeKeeping;

public sealed class SafeKeepingPageTests(PostgresFixture postgres) : ShellTest
{
    private readonly FakeTimeProvider _clock = new(new DateTimeOffset(2026, 11, 25, 12, 0, 0, TimeSpan.Zero));

    [Fact]
    public async Task BackUp_WhenPressed_SaysThatItIsMadeAndListsIt()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        IRenderedComponent<SafeKeepingPage> page = Open(room, room.PathOf("backups"));
        Says(page, "None has been made yet.");

        await page.PressAsync("Back up now");

        Says(page, "The back-up is made:");
        Says(page, "less than an hour ago");
        page.WaitForAssertion(() => Assert.Single(page.FindAll("details tbody tr")), RoomPages.Patience);
        Assert.Empty(page.FindAll(".note"));
    }

    [Fact]
    public async Task Open_WhenTheLastIsOldOrFailed_Warns()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        string folder = room.PathOf("backups");
        Directory.CreateDirectory(folder);
        await File.WriteAllTextAsync(Path.Combine(folder, BackupFolder.NameOf(_clock.GetUtcNow().AddDays(-3))), "old", GuildRoom.Cancellation);

        IRenderedComponent<SafeKeepingPage> page = Open(room, folder);

        Says(page, "The last back-up is more than two days old.");
        Says(page, "3 days ago");

        Directory.Delete(folder, recursive: true);
        await File.WriteAllTextAsync(folder, "no folder", GuildRoom.Cancellation);
        await page.PressAsync("Back up now");
        Says(page, "failed.");
        Assert.Contains(page.FindAll("[role=alert]"), note => note.TextContent.Contains(folder, StringComparison.Ordinal));
    }

    [Fact]
    public async Task Open_WhenNoFolderIsNamed_SaysThatTheyAreOff()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);

        IRenderedComponent<SafeKeepingPage> page = Open(room, null);

        Says(page, "No nightly back-up is made");
        Assert.DoesNotContain(page.FindAll("button"), b => b.TextContent.Contains("Back up now", StringComparison.Ordinal));
        Assert.Equal("/safe-keeping/export.zip", page.Find("a[download]").GetAttribute("href"));
    }

    [Fact]
    public async Task Check_WhenPressed_ShowsWhatWasLookedAtAndWhatIsWrong()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        IRenderedComponent<SafeKeepingPage> page = Open(room, null);

        await page.PressAsync("Check the books");
        Says(page, "The books are clean.");
        Assert.Equal(13, page.FindAll(".audit tbody tr").Count);

        await room.Desk.OwnerSqlAsync($"update donation set number = 'D-2026-0099' where number like '%-0001'");
        await page.PressAsync("Check the books");
        Says(page, "2 faults were found.");
        Says(page, "Number D-2026-0099 is beyond the last number given, 2.");
        await room.Desk.OwnerSqlAsync($"update donation set number = 'D-2026-0001' where number = 'D-2026-0099'");
    }

    private IRenderedComponent<SafeKeepingPage> Open(BusyRoom room, string? folder)
    {
        Ui.UseRoom(room.Guild);
        Ui.Services.AddSingleton<TimeProvider>(_clock);
        Ui.Services.AddSingleton(new AppSettings(room.Guild.AppConnectionString, null) { SafeKeeping = new SafeKeepingSettings(room.Guild.OwnerConnectionString, folder) });
        Ui.Services.AddSingleton<BackupDesk>();
        Ui.Services.AddScoped<SafeKeepingReader>();
        Ui.Services.AddScoped<BackUpNow>();
        Person.SignIn(room.Guild.Administrator, "administrator");
        Person.SetPolicies(Policies.Administrator);
        return Ui.Render<SafeKeepingPage>();
    }

    private static void Says(IRenderedComponent<SafeKeepingPage> page, string words) =>
        page.WaitForAssertion(() => Assert.Contains(words, string.Join(' ', page.Nodes.Select(n => n.TextContent)), StringComparison.Ordinal), RoomPages.Patience);
}
