using System.Reflection;
using GuildStash.Domain.People;
using GuildStash.Web.Features;
using GuildStash.Web.Features.Drafts;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Infrastructure.Security;

/// <summary>The table of rights against what the use cases do: each row, by each role, by an account that is switched off, by nobody.</summary>
public sealed class UseCaseRightsTests(RightsRoom room) : IClassFixture<RightsRoom>
{
    /// <summary>They act for the person who asks and take nothing that could name another.</summary>
    private static readonly HashSet<string> NamesNobody =
    [
        "Drafts.SaveDraft.RunAsync", "Drafts.DiscardDraft.RunAsync", "Inventory.SaveFilter.RunAsync", "People.SaveOwnPreferences.RunAsync", "People.ChangeOwnPassword.RunAsync",
        "People.IssueToken.RunAsync",
    ];

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    public static TheoryData<string> UseCaseRows => new(Rows.Select(r => r.Name));

    public static TheoryData<string> OwnRows => new(Rows.Where(r => r.OwnOnly && !NamesNobody.Contains(r.Name)).Select(r => r.Name));

    private static IEnumerable<Right> Rows => Rights.All.Where(r => r.Kind == "use");

    [Fact]
    public void Table_WhenComparedWithTheUseCases_HasEachOnceAndNoOther()
    {
        string[] rows = [.. Rows.Select(r => r.Name)];
        Assert.Equal("", string.Join(", ", UseCaseMethods.All.Keys.Except(rows).Select(name => $"{name} has no row in rights.txt")));
        Assert.Equal("", string.Join(", ", rows.Except(UseCaseMethods.All.Keys).Select(name => $"{name} is in rights.txt and nowhere else")));
        Assert.Distinct(rows);
        Assert.All(UseCases.All, type => Assert.True(UseCaseMethods.All.Values.Any(methods => methods[0].DeclaringType == type), $"{type.Name} has no method that takes the person first."));
    }

    [Theory]
    [MemberData(nameof(UseCaseRows))]
    public async Task Act_WhenOfEachRole_IsAllowedFromTheLeastRoleOn(string name)
    {
        Right right = Rows.Single(r => r.Name == name);
        foreach (MethodInfo method in RightsRoom.MethodsOf(right))
        {
            foreach (Guid outsider in new[] { room.Gone, Guid.Empty, Guid.CreateVersion7() })
            {
                Answer refused = await room.CallAsync(method, outsider, real: false);
                Assert.True(refused.IsNotAllowed, $"{method}: an account that is not active was answered {refused.Text}");
            }

            foreach (Role role in Enum.GetValues<Role>())
            {
                Answer answer = await room.CallAsync(method, room.PersonOf(role), real: false);
                bool may = role >= right.Least;
                Assert.True(answer.IsNotAllowed != may, $"{method}: {role} was answered {answer.Text}");
                Assert.True(may || answer.Text.Contains($"needs the role \"{RoleNames.Of(right.Least!.Value)}\"", StringComparison.Ordinal), $"{method}: {answer.Text}");
            }
        }
    }

    [Theory]
    [MemberData(nameof(OwnRows))]
    public async Task Act_WhenTheThingIsSomebodyElses_IsAllowedOnlyFromTheTablesRoleOn(string name)
    {
        await room.OwnAsync();
        Right right = Rows.Single(r => r.Name == name);
        Guid owner = right.Least == Role.Member ? room.Guild.OtherMember : room.Guild.Volunteer;
        foreach (MethodInfo method in RightsRoom.MethodsOf(right))
        {
            if (name == "Holds.RequestHolds.RunAsync")
            {
                await ReserveForOthersAsync(right);
                continue;
            }

            bool namesOne = method.GetParameters().Any(p => room.Owned.ContainsKey(p.Name!) || room.Owned.ContainsKey(method.Name));
            foreach (Role role in Enum.GetValues<Role>().Where(r => r >= right.Least && room.PersonOf(r) != owner))
            {
                Answer answer = await room.CallAsync(method, room.PersonOf(role), real: true);
                bool may = right.AllFrom is { } all && role >= all;
                bool did = namesOne ? !answer.IsNothing || answer.Refusals.Any(r => r.Rule is not ("not-found" or "not-allowed")) : Tells(answer);
                Assert.True(did == may, $"{method}: {role} was answered {answer.Text}");
            }

            Answer own = await room.CallAsync(method, owner, real: true);
            Assert.True(namesOne ? own.Refusals.All(r => r.Rule is not ("not-found" or "not-allowed")) : Tells(own) || right.AllFrom is not null, $"{method}: the owner was answered {own.Text}");
        }
    }

    [Fact]
    public async Task Drafts_WhenAnotherSavesAndDiscardsOne_Stay()
    {
        await room.OwnAsync();
        await room.Guild.DoAsync<SaveDraft, DateTimeOffset>(u => u.RunAsync(room.Guild.Coordinator, RightsRoom.DraftForm, 1, "{}", Cancellation));
        await room.Guild.DoAsync<DiscardDraft, bool>(u => u.RunAsync(room.Guild.Coordinator, RightsRoom.DraftForm, Cancellation));

        KeptDraft? kept = await room.Guild.DoAsync<ReadDraft, KeptDraft?>(u => u.RunAsync(room.Guild.Volunteer, RightsRoom.DraftForm, 1, Cancellation));

        Assert.Contains(RightsRoom.DraftWords, kept?.State, StringComparison.Ordinal);
    }

    [Fact]
    public void Own_WhenNoArgumentNamesAThing_NoneCanNameAPerson()
    {
        foreach (MethodInfo method in NamesNobody.SelectMany(name => UseCaseMethods.All[name]))
        {
            IEnumerable<Type> types = method.GetParameters().Skip(1).SelectMany(p => p.ParameterType.GetProperties().Select(x => x.PropertyType).Append(p.ParameterType));
            Assert.DoesNotContain(types, type => type == typeof(Guid) || type == typeof(Guid?));
        }
    }

    /// <summary>Volunteers work with donors, so they must be found by what a volunteer is told, or this would prove nothing.</summary>
    [Fact]
    public async Task Donor_WhenMembersAskForEverythingTheyMay_IsNeverNamed()
    {
        foreach (Right right in Rows.Where(r => r.Least == Role.Member))
        {
            foreach (MethodInfo method in RightsRoom.MethodsOf(right))
            {
                Answer answer = await room.CallAsync(method, room.Guild.Member, real: true);
                Assert.False(NamesDonor(answer), $"{method} named the donor to a member.");
            }
        }

        foreach (string name in new[] { "Intake.GiftReader.ListAsync", "Intake.GiftReader.OneAsync", "Intake.GiftReader.DonorsAsync", "Sorting.BenchReader.OneAsync", "Printing.IntakeSheetData.SheetAsync" })
        {
            Answer answer = await room.CallAsync(UseCaseMethods.All[name].Single(), room.Guild.Volunteer, real: true);
            Assert.True(NamesDonor(answer), $"{name}: {answer.Text}");
        }
    }

    private async Task ReserveForOthersAsync(Right right)
    {
        HoldInput input = new([new WantedYarn(room.Lot.Code, 1, null)], MemberId: room.Guild.OtherMember);
        foreach (Role role in Enum.GetValues<Role>())
        {
            var placed = await room.Guild.UseAsync<RequestHolds, Domain.Rules.Outcome<PlacedRequest>>(u => u.RunAsync(room.PersonOf(role), input, Cancellation));
            Assert.Equal((role, role >= right.AllFrom), (role, placed.IsOk));
            Assert.All(placed.Refusals, refusal => Assert.Equal("not-allowed", refusal.Rule));
        }
    }

    private bool Tells(Answer answer) => room.Marks.Any(mark => answer.Text.Contains(mark, StringComparison.Ordinal));

    private static bool NamesDonor(Answer answer) =>
        answer.Text.Contains(RightsRoom.DonorName, StringComparison.Ordinal) || answer.Text.Contains(RightsRoom.DonorContact, StringComparison.Ordinal);
}
