using System.Diagnostics;
using System.Globalization;
using GuildStash.Browser.Tests.Support;
using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Domain.People;
using GuildStash.TestSupport;
using Microsoft.EntityFrameworkCore;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Faults;

/// <summary>The program, or its database server, ends at a random moment as in a power cut, or stands still for a minute.</summary>
[Collection(OneAtATime.Name)]
public sealed class KillTests(PostgresFixture postgres, BrowserFixture browser)
{
    private const int Sorters = 3;

    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(2);

    private static ITestOutputHelper Output => TestContext.Current.TestOutputHelper!;

    [Fact]
    public async Task Program_WhenKilledAgainAndAgain_KeepsEveryAcknowledgedSaveOnceAndEveryDraft()
    {
        int kills = TestLength.Pick(2, 100);
        int seed = TestLength.Seed();
        Random random = new(seed);
        await using Room room = await Room.OpenProgramAsync(postgres, browser, Role.Volunteer);
        using Intake intake = await Intake.BeginAsync(room.Program);
        IPage page = room.Volunteer.Page;
        for (int kill = 1; kill <= kills; kill++)
        {
            string gift = await intake.GiveAsync();
            string words = $"Wish number {kill}";
            await room.Volunteer.GoAsync("/intake/new");
            // What is typed into a field before its draft is back would stand beside it.
            await Expect(page.GetByLabel("The donor's wishes")).ToHaveValueAsync(kill == 1 ? "" : $"Wish number {kill - 1}");
            await page.GetByLabel("The donor's wishes").FillAsync(words);
            await KeptAsync(room.Site, words);
            Task[] sorting = [.. Enumerable.Range(0, Sorters).Select(_ => intake.SortAsync(gift, () => true))];
            await MomentAsync(random.Next(20, 800));
            await room.Program.KillAsync();
            await Task.WhenAll(sorting);

            await room.Program.RestartAsync();
            await intake.SendAgainAsync();
            await AssertLotsAsync(room.Site, intake, $"seed {seed}, kill {kill}");
            await room.Volunteer.GoAsync("/intake/new");
            await Expect(page.GetByLabel("The donor's wishes")).ToHaveValueAsync(words);
            if (kill % 10 == 0)
            {
                Output.WriteLine($"seed {seed}: {kill} of {kills} kills outlived");
            }
        }

        Output.WriteLine($"seed {seed}: killed {kills} times; {intake.Saved.Count} lots acknowledged and there, {intake.BrokenOff} saves broken off and sent again, {kills} drafts kept");
        Assert.True(intake.BrokenOff > 0, "No save was under way at any kill.");
    }

    [Fact]
    public async Task DatabaseServer_WhenKilledUnderLoad_IsBackByItselfAndNothingIsLost()
    {
        int kills = TestLength.Pick(2, 20);
        int seed = TestLength.Seed();
        Random random = new(seed);
        using DataFolder folder = new();
        await using ProgramSite site = await ProgramSite.StartWithServerAsync(folder.Path);
        await Founding.FoundAsync(site);
        using Intake intake = await Intake.BeginAsync(site);
        int program = site.ProcessId;
        bool isOver = false;
        List<Task> sorting = [];
        for (int sorter = 0; sorter < Sorters; sorter++)
        {
            // A bag for each, so that none is empty before the end.
            string gift = await intake.GiveAsync();
            sorting.Add(intake.SortAsync(gift, () => !isOver));
        }

        List<TimeSpan> away = [];
        for (int kill = 1; kill <= kills; kill++)
        {
            await MomentAsync(random.Next(300, 1500));
            KillNow(folder.PostmasterId());
            Stopwatch watch = Stopwatch.StartNew();
            int before = intake.Saved.Count;

            // The saves that were answered at the same moment are none that came after.
            await UntilAsync(() => intake.Saved.Count > before + Sorters || sorting.Any(t => t.IsCompleted));
            await (sorting.Find(t => t.IsCompleted) ?? Task.CompletedTask);
            if (intake.Saved.Count <= before + Sorters)
            {
                Assert.Fail($"seed {seed}, kill {kill}: a sorter stopped before anything was saved again. {intake.LastBreak} The program said last: {LastWords(site)}");
            }

            away.Add(watch.Elapsed);
        }

        isOver = true;
        await Task.WhenAll(sorting);
        await intake.SendAgainAsync();
        Assert.Equal(program, site.ProcessId);
        Assert.True(intake.BrokenOff == 0, $"seed {seed}: {intake.BrokenOff} broke off. {intake.LastBreak}");
        await site.RunAsync("check");
        Assert.Equal(intake.Saved.Count, (await intake.GetAsync("/api/v1/lots?pageSize=1")).GetProperty("total").GetInt32());
        Output.WriteLine($"seed {seed}: killed {kills} times; {intake.Saved.Count} lots acknowledged and there; saving again after at most {Figure(away.Max())} s, {Figure(away.Order().ElementAt(away.Count / 2))} s in the middle; told meanwhile: {Words(intake)}");
    }

    [Fact]
    public async Task Program_WhenItStandsStill_GoesOnWithWhatWasAskedAndTyped()
    {
        TimeSpan pause = TestLength.Seconds(4, 60);
        await using Room room = await Room.OpenProgramAsync(postgres, browser, Role.Volunteer);
        using Intake intake = await Intake.BeginAsync(room.Program);
        string gift = await intake.GiveAsync();
        IPage page = room.Volunteer.Page;
        await room.Volunteer.GoAsync("/intake/new");
        int saves = 0;
        Task sorting = intake.SortAsync(gift, () => Interlocked.Increment(ref saves) <= 40);
        await UntilAsync(() => intake.Saved.Count > 5);
        Signal("-STOP", room.Program.ProcessId);
        await page.GetByLabel("The donor's wishes").PressSequentiallyAsync("Typed while nobody listened");
        await MomentAsync((int)pause.TotalMilliseconds);
        Signal("-CONT", room.Program.ProcessId);
        await sorting;
        Assert.Equal((40, 0), (intake.Saved.Count, intake.BrokenOff));
        await KeptAsync(room.Site, "Typed while nobody listened");
        await AssertLotsAsync(room.Site, intake, "after the pause");
        Output.WriteLine($"stood still for {Figure(pause)} s; 40 of 40 saves done, the draft kept");
    }

    private static string Figure(TimeSpan time) => time.TotalSeconds.ToString("0.0", CultureInfo.InvariantCulture);

    private static string LastWords(ProgramSite site) => site.Output.Length <= 4000 ? site.Output : site.Output[^4000..];

    private static string Words(Intake intake) => intake.Told.IsEmpty ? "nothing" : string.Join(", ", intake.Told.Select(t => $"{t.Key} {t.Value}"));

    /// <summary>Every acknowledged lot is there, no other is, and the books are clean.</summary>
    private static async Task AssertLotsAsync(Site site, Intake intake, string when)
    {
        await using GuildDbContext db = GuildDatabase.Open(site.OwnerConnectionString);
        HashSet<string> there = [.. await db.Lots.Select(l => l.Code).ToListAsync(Site.Cancellation)];
        HashSet<string> saved = [.. intake.Saved.Values.Select(code => Domain.Codes.LotCode.Parse(code).Value.Value)];
        Assert.True(saved.Count == intake.Saved.Count, $"{when}: two saves were answered with one lot.");
        Assert.True(saved.SetEquals(there), $"{when}: lost {string.Join(' ', saved.Except(there))}, saved twice or never answered {string.Join(' ', there.Except(saved))}");
        Assert.Empty((await BookAudit.RunAsync(db, Site.Cancellation)).SelectMany(line => line.Faults));
    }

    private static async Task KeptAsync(Site site, string words)
    {
        await using GuildDbContext db = GuildDatabase.Open(site.OwnerConnectionString);
        await UntilAsync(() => db.Database.SqlQuery<bool>($"select exists (select from draft where state::text like '%' || {words} || '%') as \"Value\"").Single());
    }

    /// <summary>Lets a little time pass, so that the moment that follows is no particular one.</summary>
    private static async Task MomentAsync(int milliseconds)
    {
        using PeriodicTimer moment = new(TimeSpan.FromMilliseconds(milliseconds));
        await moment.WaitForNextTickAsync(Site.Cancellation);
    }

    private static async Task UntilAsync(Func<bool> happens)
    {
        using CancellationTokenSource enough = CancellationTokenSource.CreateLinkedTokenSource(Site.Cancellation);
        enough.CancelAfter(Patience);
        using PeriodicTimer again = new(TimeSpan.FromMilliseconds(20));
        while (!happens())
        {
            await again.WaitForNextTickAsync(enough.Token);
        }
    }

    private static void KillNow(int process) => Process.GetProcessById(process).Kill();

    private static void Signal(string signal, int process)
    {
        using Process kill = Process.Start("kill", [signal, process.ToString(CultureInfo.InvariantCulture)]);
        kill.WaitForExit();
    }
}
