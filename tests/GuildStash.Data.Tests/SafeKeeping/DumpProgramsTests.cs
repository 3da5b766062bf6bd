using System.Diagnostics;
using GuildStash.Data.SafeKeeping;

namespace GuildStash.Data.Tests.SafeKeeping;

public sealed class DumpProgramsTests
{
    private static readonly DumpPrograms[] Installed = [new("/usr/lib/postgresql/17/bin", 17), new("/usr/lib/postgresql/15/bin", 15), new("/usr/lib/postgresql/16/bin", 16)];

    [Theory]
    [InlineData(15, 15)]
    [InlineData(16, 16)]
    [InlineData(14, 15)]
    public void Choose_WhenSeveralAreInstalled_TakesTheServersOwnElseTheNextNewer(int server, int expected) =>
        Assert.Equal(expected, DumpPrograms.Choose(Installed, server).Major);

    [Fact]
    public void Choose_WhenAllAreOlder_SaysWhatToInstall()
    {
        SafeKeepingException refusal = Assert.Throws<SafeKeepingException>(() => DumpPrograms.Choose(Installed, 18));

        Assert.Contains("of PostgreSQL 18 are needed here, but installed is 17, 15, 16", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Start_NeverPutsThePasswordOnACommandLine()
    {
        const string connection = "Host=db.example.org;Port=5433;Database=o'hara;Username=owner;Password=sesame;SSL Mode=VerifyFull";
        foreach (ProcessStartInfo start in new[] { Installed[0].Dump(connection, "00000003-1"), Installed[0].Restore(connection) })
        {
            Assert.DoesNotContain(start.ArgumentList, word => word.Contains("sesame", StringComparison.Ordinal));
            Assert.Equal(("sesame", "owner", "db.example.org", "5433", "verify-full"), (start.Environment["PGPASSWORD"], start.Environment["PGUSER"], start.Environment["PGHOST"], start.Environment["PGPORT"], start.Environment["PGSSLMODE"]));
        }

        Assert.Contains("--dbname=dbname='o\\'hara'", Installed[0].Restore(connection).ArgumentList);
        Assert.Equal("o'hara", Installed[0].Dump(connection, "00000003-1").Environment["PGDATABASE"]);
    }
}
