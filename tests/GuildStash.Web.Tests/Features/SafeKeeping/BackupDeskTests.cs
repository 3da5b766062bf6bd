using GuildStash.Data.Guild;
using GuildStash.Data.SafeKeeping;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.SafeKeeping;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using Npgsql;
using Xunit;

namespace GuildStash.Web.Tests.Features.SafeKeeping;

/// <summary>The back-ups that the running application makes.</summary>
public sealed class BackupDeskTests(PostgresFixture postgres)
{
    private readonly FakeTimeProvider _clock = new(new DateTimeOffset(2026, 11, 25, 3, 0, 0, TimeSpan.Zero));

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Night_WhenAllIsWell_LeavesOneArchiveAndComesAgainTheNextNight()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        BackupDesk desk = Desk(room, room.PathOf("backups"));

        Assert.Equal(_clock.GetUtcNow().AddDays(1), await NightlyBackupJob.RunAsync(desk, London(), _clock, Cancellation));

        BackupFile made = Assert.Single(desk.List());
        Assert.Equal(_clock.GetUtcNow(), made.MadeAt);
        await using BackupArchive archive = await BackupArchive.OpenAsync(made.Path, Cancellation);
        Assert.Equal("Harbour Yarn Guild", archive.Manifest.Guild);
    }

    [Fact]
    public async Task Night_WhenAnotherNodeIsAtItOrWasJustThere_MakesNoSecond()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        BackupDesk desk = Desk(room, room.PathOf("backups"));
        await using (NpgsqlConnection other = new(room.Guild.OwnerConnectionString))
        {
            await other.OpenAsync(Cancellation);
            await using NpgsqlCommand hold = new("select pg_advisory_lock(5140095141625943096)", other);
            await hold.ExecuteNonQueryAsync(Cancellation);
            Assert.Equal(BackupEnd.OthersAtIt, await desk.RunAsync(isNightly: true, null, Cancellation));
            NpgsqlConnection.ClearPool(other);
        }

        Assert.Equal(BackupEnd.Made, await desk.RunAsync(isNightly: true, null, Cancellation));
        _clock.Advance(TimeSpan.FromMinutes(1));
        Assert.Equal(BackupEnd.OthersAtIt, await Desk(room, room.PathOf("backups")).RunAsync(isNightly: true, null, Cancellation));
        Assert.Single(desk.List());
        Assert.Equal(BackupEnd.Made, await desk.RunAsync(isNightly: false, null, Cancellation));
    }

    [Fact]
    public async Task Night_WhenItFails_IsKnownAndTriedAgainWithinTheHour()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        string folder = room.PathOf("backups");
        await File.WriteAllTextAsync(folder, "a file where the folder should be", Cancellation);
        BackupDesk desk = Desk(room, folder);

        Assert.Equal(_clock.GetUtcNow().AddHours(1), await NightlyBackupJob.RunAsync(desk, London(), _clock, Cancellation));
        Assert.Equal(_clock.GetUtcNow(), desk.Failure?.At);
        Assert.Contains(folder, desk.Failure?.Sentence, StringComparison.Ordinal);

        File.Delete(folder);
        Assert.Equal(BackupEnd.Made, await desk.RunAsync(isNightly: true, null, Cancellation));
        Assert.Null(desk.Failure);
    }

    [Fact]
    public async Task Look_WhenTheLastIsOlderThanTwoDays_Warns()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        BackupDesk desk = Desk(room, room.PathOf("backups"));
        await desk.RunAsync(isNightly: true, null, Cancellation);

        _clock.Advance(TimeSpan.FromDays(2));
        Assert.False((await LookAsync(room, desk, room.Guild.Administrator)).Value.IsOld);
        _clock.Advance(TimeSpan.FromMinutes(1));
        SafeKeepingView view = (await LookAsync(room, desk, room.Guild.Administrator)).Value;
        Assert.True(view.IsOld);
        Assert.Equal(1, view.Count);
        Assert.True(view.Last!.Size > 10_000);
    }

    [Fact]
    public async Task Do_WhenNotAnAdministrator_IsRefused()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        BackupDesk desk = Desk(room, room.PathOf("backups"));
        foreach (Guid by in new[] { room.Guild.Coordinator, room.Guild.Volunteer, room.Guild.Member, Guid.Empty })
        {
            IReadOnlyList<Refusal>[] refusals =
            [
                (await LookAsync(room, desk, by)).Refusals,
                (await room.Guild.UseAsync<GuildWork, Outcome<BackupFile>>(w => new BackUpNow(w, desk).RunAsync(by, null, Cancellation))).Refusals,
                (await room.Guild.UseAsync<CheckBooks, Outcome<List<Data.Ledger.AuditLine>>>(u => u.RunAsync(by, null, Cancellation))).Refusals,
                (await room.Guild.UseAsync<ExportGuild, Outcome<ExportedGuild>>(u => u.RunAsync(by, Cancellation))).Refusals,
            ];
            Assert.All(refusals, r => Assert.Equal(RefusalKind.Forbidden, r[0].Kind));
        }

        Assert.Empty(desk.List());
    }

    [Fact]
    public async Task BackUpNow_WhenNoFolderIsNamed_SaysWhatToDo()
    {
        await using BusyRoom room = await BusyRoom.OpenAsync(postgres);
        Outcome<BackupFile> outcome = await room.Guild.UseAsync<GuildWork, Outcome<BackupFile>>(w => new BackUpNow(w, Desk(room, null)).RunAsync(room.Guild.Administrator, null, Cancellation));

        Assert.Equal("back-ups-off", outcome.Refusal.Rule);
        Assert.Contains("--backups", outcome.Refusal.ToString(), StringComparison.Ordinal);
    }

    private Task<Outcome<SafeKeepingView>> LookAsync(BusyRoom room, BackupDesk desk, Guid by) =>
        room.Guild.UseAsync<GuildWork, Outcome<SafeKeepingView>>(w => new SafeKeepingReader(w, desk, _clock).RunAsync(by, Cancellation));

    private static GuildDefaults London()
    {
        GuildDefaults defaults = new();
        defaults.Set(new GuildSettings { Name = "Harbour Yarn Guild" });
        return defaults;
    }

    private BackupDesk Desk(BusyRoom room, string? folder) =>
        new(new AppSettings(room.Guild.AppConnectionString, null) { SafeKeeping = new SafeKeepingSettings(room.Guild.OwnerConnectionString, folder) }, London(), _clock, NullLogger<BackupDesk>.Instance);
}
