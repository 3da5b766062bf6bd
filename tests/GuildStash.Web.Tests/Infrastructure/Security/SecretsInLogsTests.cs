using System.Collections.Concurrent;
using GuildStash.Data.SafeKeeping;
using GuildStash.Domain.People;
using GuildStash.TestSupport;
using GuildStash.Web.Features.People;
using GuildStash.Web.Infrastructure.Hosting;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Tests.Support;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Npgsql;
using Xunit;

namespace GuildStash.Web.Tests.Infrastructure.Security;

/// <summary>Passwords, tokens, links and connection strings, looked for in everything that is logged meanwhile, down to the finest grain.</summary>
public sealed class SecretsInLogsTests(PostgresFixture postgres)
{
    private const string NewPassword = "quite-another-secret-9";

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Log_WhenPeopleSignInAndSecretsAreMade_HoldsNoneOfThem()
    {
        CapturedLog log = new();
        await using WebRoom room = await WebRoom.OpenAsync(postgres, builder =>
        {
            builder.Logging.SetMinimumLevel(LogLevel.Trace).AddProvider(log);
        });
        using Visitor visitor = await room.SignInAsync("member@example.org");
        using HttpResponseMessage wrong = await visitor.PostAsync("/account/preferences", "password", ("currentPassword", "wrong-secret-of-mine"), ("password", NewPassword));
        using HttpResponseMessage changed = await visitor.PostAsync("/account/preferences", "password", ("currentPassword", GuildRoom.Password), ("password", NewPassword));
        using Visitor stranger = room.Visit();
        using HttpResponseMessage refused = await stranger.PostAsync("/account/sign-in", "sign-in", ("email", "typed-into-the-wrong-field"), ("password", "typed-secret-1"));
        IssuedToken token = await room.Guild.DoAsync<IssueToken, IssuedToken>(u => u.RunAsync(room.Guild.Member, "scale", 30, TokenScope.Write, Cancellation));
        using HttpRequestMessage call = new(HttpMethod.Get, "/api/v1/lots");
        call.Headers.Authorization = new("Bearer", token.Token);
        using HttpResponseMessage called = await stranger.SendAsync(call);
        NewInvitation invitation = await room.Guild.DoAsync<InvitePerson, NewInvitation>(u => u.RunAsync(room.Guild.Administrator, new InvitationInput(Role.Member), Cancellation));
        using HttpResponseMessage invited = await stranger.PostAsync(invitation.Path, "invitation", ("name", "Nora"), ("email", "nora@example.org"), ("password", "invited-secret-3"));
        NewPasswordLink link = await room.Guild.DoAsync<MakeNewPasswordLink, NewPasswordLink>(u => u.RunAsync(room.Guild.Administrator, room.Guild.OtherMember, Cancellation));
        using HttpResponseMessage chosen = await stranger.PostAsync(link.Path, "new-password", ("password", "chosen-secret-4"));
        string database = new NpgsqlConnectionStringBuilder(room.Guild.AppConnectionString).Password ?? "";

        Assert.True(called.IsSuccessStatusCode && invited.StatusCode == System.Net.HttpStatusCode.Redirect && chosen.StatusCode == System.Net.HttpStatusCode.Redirect);
        string all = string.Join('\n', log.Lines.Select(l => l.Text));
        Assert.Contains("signed in from", all, StringComparison.Ordinal);
        Assert.Contains($"Person {room.Guild.Administrator} made a link for a new password of person {room.Guild.OtherMember}", all, StringComparison.Ordinal);
        Assert.Contains($"Person {room.Guild.OtherMember} chose a new password by a link, from ", all, StringComparison.Ordinal);
        string[] secrets = [GuildRoom.Password, NewPassword, "wrong-secret-of-mine", "typed-secret-1", "typed-into-the-wrong-field", "invited-secret-3", "chosen-secret-4", token.Token, Convert.ToHexString(BearerTokens.HashOf(token.Token))];
        Assert.All(database.Length > 0 ? [.. secrets, database] : secrets, secret => Assert.DoesNotContain(secret, all, StringComparison.OrdinalIgnoreCase));

        // A link's secret is part of an address, which the web server logs at a level that the program leaves out.
        string[] secretsOfLinks = [.. new[] { invitation.Path, link.Path }.Select(path => path[(path.LastIndexOf('/') + 1)..])];
        Assert.DoesNotContain(log.Lines, l => IsKept(l.Category, l.Level) && secretsOfLinks.Any(secret => l.Text.Contains(secret, StringComparison.Ordinal)));
    }

    [Fact]
    public async Task Fault_WhenTheDatabaseIsAway_TellsNoPassword()
    {
        const string connection = "Host=127.0.0.1;Port=1;Username=guild;Password=hidden-secret-5;Database=guildstash;Timeout=2";
        string file = Path.Combine(Path.GetTempPath(), $"guildstash-{Guid.NewGuid():N}.zip");

        StartupException start = await Assert.ThrowsAsync<StartupException>(() => DatabaseHandle.OpenAsync(CommandLine.Parse(["--database", connection]).Options!, cancellation: Cancellation));
        SafeKeepingException export = await Assert.ThrowsAsync<SafeKeepingException>(() => OpenExport.WriteFileAsync(connection, file, Cancellation));

        Assert.All([start.ToString(), export.ToString()], fault => Assert.DoesNotContain("hidden-secret-5", fault, StringComparison.Ordinal));
    }

    /// <summary>What the program's own settings of its log keep, see Logging.</summary>
    private static bool IsKept(string category, LogLevel level) =>
        level >= (category.StartsWith("Microsoft", StringComparison.Ordinal) || category.StartsWith("Npgsql", StringComparison.Ordinal) ? LogLevel.Warning : LogLevel.Information);

    private sealed class CapturedLog : ILoggerProvider
    {
        public ConcurrentQueue<(string Category, LogLevel Level, string Text)> Lines { get; } = new();

        public ILogger CreateLogger(string categoryName) => new Writer(this, categoryName);

        public void Dispose()
        {
        }

        private sealed class Writer(CapturedLog log, string category) : ILogger
        {
            public IDisposable? BeginScope<TState>(TState state)
                where TState : notnull => null;

            public bool IsEnabled(LogLevel logLevel) => true;

            public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter) =>
                log.Lines.Enqueue((category, logLevel, $"{formatter(state, exception)} {exception}"));
        }
    }
}
