using GuildStash.Data.Server;

namespace GuildStash.Data.Tests.Server;

public sealed class EmbeddedPostgresRefusalTests(ServerTemplate template)
{
    private static readonly ServerPrograms[] Installed =
        [new("/a/14/bin", 14), new("/a/17/bin", 17), new("/a/15/bin", 15)];

    [Fact]
    public async Task Start_WhenClusterIsOfAnotherMajorVersion_NamesBoth()
    {
        using var folder = ServerFolder.Pretended();
        await File.WriteAllTextAsync(folder.Folders.VersionFile, "11\n", TestContext.Current.CancellationToken);

        var sentence = await folder.RefusalAsync();

        Assert.Contains("made by PostgreSQL 11", sentence);
        Assert.Matches(@"installed here is .*\d\d in /", sentence);
    }

    [Fact]
    public void KnownPrograms_NewClusterTakesTheNewest_OldOneItsOwn()
    {
        Assert.Equal(17, ServerPrograms.Choose(Installed, null, "/d/pg").Major);
        Assert.Equal(15, ServerPrograms.Choose(Installed, 15, "/d/pg").Major);
    }

    [Fact]
    public void InvalidPrograms_OnlyTooOldOrNone_SaysWhatToInstall()
    {
        foreach (var installed in new[] { [], Installed[..1] })
        {
            var fault = Assert.Throws<ServerProgramsMissingException>(() => ServerPrograms.Choose(installed, null, "/d/pg"));
            Assert.Contains("version 15 or newer", fault.Message);
            Assert.Contains("--database", fault.Message);
        }
    }

    [Fact]
    public async Task Start_WhenInitWasInterrupted_BeginsAnew()
    {
        using var folder = new ServerFolder();
        Directory.CreateDirectory(Path.Combine(folder.Folders.UnfinishedCluster, "base"));
        await File.WriteAllTextAsync(folder.Folders.UnfinishedCluster + ".pass", "x", TestContext.Current.CancellationToken);

        await using var server = await folder.StartAsync();

        Assert.Equal(1, await Sql.ScalarAsync<int>(server.OwnerConnectionString(), "SELECT 1"));
        Assert.False(Directory.Exists(folder.Folders.UnfinishedCluster));
    }

    [Fact]
    public async Task Start_WhenStartWasInterruptedBeforeTheRoles_MakesThem()
    {
        using var folder = ServerFolder.Used(template);
        await using (var server = await folder.StartAsync())
        {
            var superuser = server.SuperuserConnectionString();
            await Sql.RunAsync(superuser, "DROP DATABASE guildstash");
            await Sql.RunAsync(superuser, "DROP ROLE guildstash_app");
        }

        await using var again = await folder.StartAsync();
        Assert.Equal("guildstash_app", await Sql.ScalarAsync<string>(again.AppConnectionString(), "SELECT current_user::text"));
    }

    [Theory]
    [InlineData("PG_VERSION")]
    [InlineData("global/pg_control")]
    public async Task Start_WhenClusterIsHalfMade_IsRefusedAndTouchesNothing(string missing)
    {
        using var folder = ServerFolder.Pretended();
        File.Delete(Path.Combine(folder.Folders.Cluster, missing));
        var before = folder.Everything();

        Assert.Contains("half made", await folder.RefusalAsync());
        Assert.Equal(before, folder.Everything());
    }

    [Fact]
    public async Task Start_WhenPasswordFileIsMissing_IsRefused()
    {
        using var folder = ServerFolder.Pretended();
        File.Delete(folder.Folders.PasswordFile);

        Assert.Contains("with the database passwords is missing", await folder.RefusalAsync());
        Assert.False(File.Exists(folder.Folders.PasswordFile));
    }

    [Fact]
    public async Task Start_WhenPasswordFileIsOpenToOthers_IsRefused()
    {
        using var folder = ServerFolder.Pretended();
        File.SetUnixFileMode(folder.Folders.PasswordFile, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead);

        Assert.Contains("chmod 600", await folder.RefusalAsync());
    }

    [Fact]
    public async Task Start_WhenPasswordsDoNotFit_IsRefusedAndLeavesNothingRunning()
    {
        using var folder = ServerFolder.Used(template);
        var text = await File.ReadAllTextAsync(folder.Folders.PasswordFile, TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(
            folder.Folders.PasswordFile, text.Replace("postgres:", "postgres:not", StringComparison.Ordinal), TestContext.Current.CancellationToken);

        Assert.Contains("does not accept the password", await folder.RefusalAsync());
        Assert.False(File.Exists(folder.Folders.PostmasterFile));
    }

    [Fact]
    public async Task Start_WhenServerRefusesItsSettings_TellsTheServersReason()
    {
        using var folder = ServerFolder.Used(template);
        await File.AppendAllTextAsync(
            Path.Combine(folder.Folders.Cluster, "postgresql.conf"), "\nshared_buffers = 1kB\n", TestContext.Current.CancellationToken);

        Assert.Contains("shared_buffers", await folder.RefusalAsync());
    }

    [Fact]
    public async Task Start_WhenFolderCannotBeWritten_IsRefusedNamingIt()
    {
        // No user may make folders in /proc, so this also holds for root.
        var fault = await Assert.ThrowsAnyAsync<ServerStartException>(() => EmbeddedPostgres.StartAsync(
            new EmbeddedPostgresOptions { DataDirectory = "/proc/guildstash" }, TestContext.Current.CancellationToken));

        Assert.Contains("/proc/guildstash cannot be written", fault.Message);
        Assert.Contains("--data", fault.Message);
    }

    [Fact]
    public async Task Start_WhenParentIsClosed_OnlyRootIsRefusedSinceItDrops()
    {
        var parent = Directory.CreateTempSubdirectory("gs-closed-");
        using var folder = new ServerFolder(parent.FullName);
        try
        {
            if (PosixCalls.IsRoot)
            {
                Assert.Contains($"may not enter {parent.FullName}: allow it with chmod o+x", await folder.RefusalAsync());
            }
            else
            {
                await using var server = await folder.StartAsync();
                Assert.Equal(1, await Sql.ScalarAsync<int>(server.OwnerConnectionString(), "SELECT 1"));
            }
        }
        finally
        {
            parent.Delete(recursive: true);
        }
    }
}
