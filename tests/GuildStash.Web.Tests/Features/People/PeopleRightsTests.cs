using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.People;
using GuildStash.Web.Features.Settings;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.People;

/// <summary>Who may do what with people and settings: each use case by each role, on a real database.</summary>
public sealed class PeopleRightsTests(PostgresFixture postgres)
{
    private static readonly Dictionary<string, Func<GuildRoom, Guid, Task<IReadOnlyList<Refusal>>>> Deeds = new()
    {
        ["invite a member"] = (room, by) => TryAsync<InvitePerson, NewInvitation>(room, u => u.RunAsync(by, new InvitationInput(Role.Member), Cancellation)),
        ["invite a volunteer"] = (room, by) => TryAsync<InvitePerson, NewInvitation>(room, u => u.RunAsync(by, new InvitationInput(Role.Volunteer), Cancellation)),
        ["invite a coordinator"] = (room, by) => TryAsync<InvitePerson, NewInvitation>(room, u => u.RunAsync(by, new InvitationInput(Role.Coordinator), Cancellation)),
        ["invite an administrator"] = (room, by) => TryAsync<InvitePerson, NewInvitation>(room, u => u.RunAsync(by, new InvitationInput(Role.Administrator), Cancellation)),
        ["withdraw an invitation"] = async (room, by) => await WithdrawAsync(room, by, Role.Volunteer),
        ["withdraw a coordinator's invitation"] = async (room, by) => await WithdrawAsync(room, by, Role.Coordinator),
        ["list people"] = (room, by) => TryAsync<PeopleReader, PageOf<PersonView>>(room, u => u.ListAsync(by, new PeopleFilter(), new PageRequest(), Cancellation)),
        ["list invitations"] = (room, by) => TryAsync<PeopleReader, PageOf<InvitationView>>(room, u => u.InvitationsAsync(by, new PageRequest(), Cancellation)),
        ["change a role"] = (room, by) => TryAsync<ChangeRole, Role>(room, u => u.RunAsync(by, room.OtherMember, Role.Volunteer, Cancellation)),
        ["switch an account off"] = (room, by) => TryAsync<DisablePerson, DisabledPerson>(room, u => u.RunAsync(by, room.OtherMember, Cancellation)),
        ["make a link for a new password"] = (room, by) => TryAsync<MakeNewPasswordLink, NewPasswordLink>(room, u => u.RunAsync(by, room.OtherMember, Cancellation)),
        ["switch an account on"] = (room, by) => TryAsync<EnablePerson, string>(room, u => u.RunAsync(by, room.OtherMember, Cancellation)),
        ["read settings"] = (room, by) => TryAsync<SettingsReader, SettingsView>(room, u => u.RunAsync(by, Cancellation)),
        ["save settings"] = async (room, by) =>
        {
            SettingsView now = await room.DoAsync<SettingsReader, SettingsView>(u => u.RunAsync(room.Administrator, Cancellation));
            return await TryAsync<SaveSettings, int>(room, u => u.RunAsync(by, now.Version, now.Fields, Cancellation));
        },
        ["read own preferences"] = (room, by) => TryAsync<OwnPreferencesReader, PreferencesView>(room, u => u.RunAsync(by, Cancellation)),
        ["save own preferences"] = (room, by) => TryAsync<SaveOwnPreferences, bool>(room, u => u.RunAsync(by, new PreferencesInput("Somebody", null, null, Theme.System), Cancellation)),
    };

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    public static TheoryData<string, Role> LeastRoles => new()
    {
        { "invite a member", Role.Coordinator },
        { "invite a volunteer", Role.Coordinator },
        { "invite a coordinator", Role.Administrator },
        { "invite an administrator", Role.Administrator },
        { "withdraw an invitation", Role.Coordinator },
        { "withdraw a coordinator's invitation", Role.Administrator },
        { "list people", Role.Coordinator },
        { "list invitations", Role.Coordinator },
        { "change a role", Role.Administrator },
        { "switch an account off", Role.Administrator },
        { "switch an account on", Role.Administrator },
        { "make a link for a new password", Role.Administrator },
        { "read settings", Role.Coordinator },
        { "save settings", Role.Coordinator },
        { "read own preferences", Role.Member },
        { "save own preferences", Role.Member },
    };

    [Theory]
    [MemberData(nameof(LeastRoles))]
    public async Task Act_WhenOfEachRole_IsAllowedFromTheLeastRoleOn(string deed, Role least)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        (Role Role, Guid Person)[] people =
            [(Role.Member, room.Member), (Role.Volunteer, room.Volunteer), (Role.Coordinator, room.Coordinator), (Role.Administrator, room.Administrator)];

        foreach ((Role role, Guid person) in people)
        {
            IReadOnlyList<Refusal> refusals = await Deeds[deed](room, person);

            Assert.True(role >= least == (refusals.Count == 0), $"{role} tried to {deed}: {string.Join(" ", refusals)}");
            Assert.All(refusals, refusal => Assert.Equal(RefusalKind.Forbidden, refusal.Kind));
        }
    }

    [Fact]
    public async Task Act_WhenSwitchedOffOrUnknown_IsRefusedAtOnceForEveryDeed()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid second = await room.AddPersonAsync("Second Administrator", "second@example.org", Role.Administrator);
        await room.DoAsync<DisablePerson, DisabledPerson>(u => u.RunAsync(room.Administrator, second, Cancellation));

        foreach ((string deed, Func<GuildRoom, Guid, Task<IReadOnlyList<Refusal>>> tryAsync) in Deeds)
        {
            foreach (Guid nobody in new[] { second, Guid.Empty, Guid.CreateVersion7() })
            {
                Assert.Equal((deed, "not-allowed"), (deed, Assert.Single(await tryAsync(room, nobody)).Rule));
            }
        }
    }

    private static async Task<IReadOnlyList<Refusal>> WithdrawAsync(GuildRoom room, Guid by, Role invited)
    {
        NewInvitation invitation = await room.DoAsync<InvitePerson, NewInvitation>(u => u.RunAsync(room.Administrator, new InvitationInput(invited), Cancellation));
        return await TryAsync<WithdrawInvitation, bool>(room, u => u.RunAsync(by, invitation.Id, Cancellation));
    }

    private static async Task<IReadOnlyList<Refusal>> TryAsync<TUseCase, T>(GuildRoom room, Func<TUseCase, Task<Outcome<T>>> run)
        where TUseCase : notnull =>
        (await room.UseAsync(run)).Refusals;
}
