using System.Security.Cryptography;
using System.Text;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.People;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.People;

/// <summary>An invitation from the link to the account.</summary>
public sealed class InvitationTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Accept_WhenTheLinkHolds_MakesOneAccountWithTheInvitedRole()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        NewInvitation made = await InviteAsync(room, room.Coordinator, Role.Volunteer);

        InvitationOffer offer = await room.DoAsync<AcceptInvitation, InvitationOffer>(u => u.LookAsync(Secret(made), Cancellation));
        Guid person = await room.DoAsync<AcceptInvitation, Guid>(u => u.RunAsync(Secret(made), "Nora New", "nora@example.org", GuildRoom.Password, Cancellation));
        Refusal again = (await AcceptAsync(room, made, "again@example.org")).Refusal;

        Assert.Equal(("Harbour Yarn Guild", Role.Volunteer), (offer.GuildName, offer.Role));
        Assert.Equal("invitation-used", again.Rule);
        await using var db = room.Look();
        Person account = await db.People.SingleAsync(p => p.Email == "nora@example.org", Cancellation);
        Assert.Equal((person, Role.Volunteer, "Nora New"), (account.Id, account.Role, account.DisplayName));
        Assert.Equal(person, (await db.Invitations.SingleAsync(Cancellation)).UsedById);
    }

    [Fact]
    public async Task Invite_WhenMade_KeepsOnlyTheHashOfA256BitSecret()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        NewInvitation made = await InviteAsync(room, room.Coordinator, Role.Member, days: 3);

        await using var db = room.Look();
        Invitation kept = await db.Invitations.SingleAsync(Cancellation);
        Assert.Equal(32, System.Buffers.Text.Base64Url.DecodeFromChars(Secret(made)).Length);
        Assert.Equal(SHA256.HashData(Encoding.UTF8.GetBytes(Secret(made))), kept.SecretHash);
        Assert.Equal(TimeSpan.FromDays(3), kept.ExpiresAt - kept.CreatedAt);
    }

    [Fact]
    public async Task Accept_WhenWithdrawnExpiredOrUnknown_TellsWhichAndMakesNothing()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        NewInvitation withdrawn = await InviteAsync(room, room.Coordinator, Role.Member);
        await room.DoAsync<WithdrawInvitation, bool>(u => u.RunAsync(room.Coordinator, withdrawn.Id, Cancellation));
        NewInvitation expired = await InviteAsync(room, room.Coordinator, Role.Member);
        await using var db = room.Look();
        await db.Invitations.Where(i => i.Id == expired.Id).ExecuteUpdateAsync(set => set.SetProperty(i => i.ExpiresAt, i => i.CreatedAt.AddSeconds(-1)), Cancellation);
        int before = await db.People.CountAsync(Cancellation);

        Assert.Equal("invitation-withdrawn", (await AcceptAsync(room, withdrawn)).Refusal.Rule);
        Assert.Equal("invitation-expired", (await AcceptAsync(room, expired)).Refusal.Rule);
        Assert.Equal("not-found", (await AcceptAsync(room, expired with { Path = "/invite/nonsense" })).Refusal.Rule);
        Assert.Equal("invitation-expired", (await room.UseAsync<AcceptInvitation, Outcome<InvitationOffer>>(u => u.LookAsync(Secret(expired), Cancellation))).Refusal.Rule);
        Assert.Equal(before, await db.People.CountAsync(Cancellation));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task Accept_WhenWhoInvitedLostTheRight_IsRefused(bool switchedOff)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid second = await room.AddPersonAsync("Second Administrator", "second@example.org", Role.Administrator);
        NewInvitation made = await InviteAsync(room, second, Role.Administrator);
        if (switchedOff)
        {
            await room.DoAsync<DisablePerson, DisabledPerson>(u => u.RunAsync(room.Administrator, second, Cancellation));
        }
        else
        {
            await room.DoAsync<ChangeRole, Role>(u => u.RunAsync(room.Administrator, second, Role.Coordinator, Cancellation));
        }

        Assert.Equal("invitation-withdrawn", (await AcceptAsync(room, made)).Refusal.Rule);
        PageOf<InvitationView> listed = await room.DoAsync<PeopleReader, PageOf<InvitationView>>(u => u.InvitationsAsync(room.Administrator, new PageRequest(), Cancellation));
        Assert.False(Assert.Single(listed.Items).Holds);
    }

    [Fact]
    public async Task Accept_WhenTwoUseTheLinkAtOnce_OneAccountIsMade()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        NewInvitation made = await InviteAsync(room, room.Coordinator, Role.Member);

        Outcome<Guid>[] outcomes = await Task.WhenAll(Enumerable.Range(0, 6).Select(i => AcceptAsync(room, made, $"racer{i}@example.org")));

        Assert.Single(outcomes, outcome => outcome.IsOk);
        Assert.All(outcomes.Where(outcome => !outcome.IsOk), outcome => Assert.Equal("invitation-used", outcome.Refusal.Rule));
    }

    [Theory]
    [InlineData("", "nora@example.org", GuildRoom.Password, "name")]
    [InlineData("Nora", "", GuildRoom.Password, "email")]
    [InlineData("Nora", "nora at example", GuildRoom.Password, "email")]
    [InlineData("Nora", "Nora <nora@example.org>", GuildRoom.Password, "email")]
    [InlineData("Nora", "MEMBER@example.org", GuildRoom.Password, "email")]
    [InlineData("Nora", "nora@example.org", "short", "password")]
    [InlineData("Nora", "nora@example.org", "aaaaaaaaaaaaaa", "password")]
    [InlineData("Nora", "nora@example.org", "", "password")]
    public async Task InvalidAccount_IsRefusedAtItsFieldAndTheLinkStillHolds(string name, string email, string password, string field)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        NewInvitation made = await InviteAsync(room, room.Coordinator, Role.Member);

        Outcome<Guid> refused = await room.UseAsync<AcceptInvitation, Outcome<Guid>>(u => u.RunAsync(Secret(made), name, email, password, Cancellation));

        Assert.Equal(field, Assert.Single(refused.Refusals).Field);
        Assert.True((await AcceptAsync(room, made)).IsOk);
    }

    [Theory]
    [InlineData("0")]
    [InlineData("61")]
    [InlineData("1.5")]
    [InlineData(null)]
    public async Task InvalidDays_AreRefused(string? days)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        decimal? typed = days is null ? null : decimal.Parse(days, System.Globalization.CultureInfo.InvariantCulture);

        Outcome<NewInvitation> refused = await room.UseAsync<InvitePerson, Outcome<NewInvitation>>(u => u.RunAsync(room.Coordinator, new InvitationInput(Role.Member, null, typed), Cancellation));

        Assert.Equal("days", refused.Refusal.Field);
    }

    private static Task<NewInvitation> InviteAsync(GuildRoom room, Guid by, Role role, decimal? days = 14) =>
        room.DoAsync<InvitePerson, NewInvitation>(u => u.RunAsync(by, new InvitationInput(role, "for the Tuesday table", days), Cancellation));

    private static Task<Outcome<Guid>> AcceptAsync(GuildRoom room, NewInvitation invitation, string email = "new@example.org") =>
        room.UseAsync<AcceptInvitation, Outcome<Guid>>(u => u.RunAsync(Secret(invitation), "Nora New", email, GuildRoom.Password, Cancellation));

    private static string Secret(NewInvitation invitation) => invitation.Path["/invite/".Length..];
}
