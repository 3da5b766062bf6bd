using GuildStash.Domain.Approvals;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using Xunit;

namespace GuildStash.Domain.Tests.Approvals;

public sealed class ApprovalRulesTests
{
    private static readonly DateTimeOffset Asked = new(2026, 3, 2, 18, 0, 0, TimeSpan.Zero);
    private static readonly Guid Asker = Guid.Parse("00000000-0000-7000-8000-000000000001");
    private static readonly Guid Other = Guid.Parse("00000000-0000-7000-8000-000000000002");
    private static readonly DelayedReview Off = new(false, 72);
    private static readonly DelayedReview On = new(true, 72);

    [Theory]
    [InlineData(ApprovalKind.QuarantineRelease, Role.Volunteer, Role.Volunteer, true)]
    [InlineData(ApprovalKind.QuarantineRelease, Role.Volunteer, Role.Member, false)]
    [InlineData(ApprovalKind.Merge, Role.Volunteer, Role.Volunteer, true)]
    [InlineData(ApprovalKind.WriteOff, Role.Volunteer, Role.Volunteer, false)]
    [InlineData(ApprovalKind.WriteOff, Role.Volunteer, Role.Coordinator, true)]
    [InlineData(ApprovalKind.WriteOff, Role.Coordinator, Role.Volunteer, true)]
    [InlineData(ApprovalKind.WriteOff, Role.Administrator, Role.Member, false)]
    [InlineData(ApprovalKind.CountDifference, Role.Volunteer, Role.Volunteer, false)]
    [InlineData(ApprovalKind.CountDifference, Role.Administrator, Role.Volunteer, true)]
    public void Approve_ByAnotherAccount_GoesByTheTableOfRoles(ApprovalKind kind, Role askedAs, Role role, bool may)
    {
        Outcome<ApprovalWay> way = ApprovalRules.Approve(Of(kind, askedAs), new ApprovalDecider(Other, role), Off, Asked);

        Assert.Equal(may, way.IsOk);
        Assert.Equal(may, ApprovalRights.DecidedBy(role, askedAs).Contains(kind));
        Assert.True(may ? way.Value == ApprovalWay.SecondPerson : way.Refusal.Kind == RefusalKind.Forbidden);
    }

    [Fact]
    public void Approve_ByTheAskerWithoutDelayedReview_IsNeverAllowed()
    {
        foreach (ApprovalKind kind in Enum.GetValues<ApprovalKind>())
        {
            foreach (Role role in Enum.GetValues<Role>())
            {
                Outcome<ApprovalWay> way = ApprovalRules.Approve(Of(kind, role), new ApprovalDecider(Asker, role), Off, Asked.AddYears(9));
                Assert.Equal("second-person-is-another", way.Refusal.Rule);
            }
        }
    }

    [Theory]
    [InlineData(0, false)]
    [InlineData(72 * 60 - 1, false)]
    [InlineData(72 * 60, true)]
    public void Approve_ByTheAskerAsDelayedReview_WaitsForTheHours(int minutes, bool may)
    {
        Outcome<ApprovalWay> way = ApprovalRules.Approve(Of(ApprovalKind.WriteOff, Role.Coordinator), new ApprovalDecider(Asker, Role.Coordinator), On, Asked.AddMinutes(minutes));

        Assert.Equal(may, way.IsOk);
        Assert.True(may ? way.Value == ApprovalWay.DelayedReview : way.Refusal.Rule == "review-too-early");
    }

    [Fact]
    public void Approve_ByAVolunteerAlone_DoesNotWriteOffEvenAsDelayedReview() =>
        Assert.Equal(RefusalKind.Forbidden, ApprovalRules.Approve(Of(ApprovalKind.WriteOff, Role.Volunteer), new ApprovalDecider(Asker, Role.Volunteer), On, Asked.AddDays(30)).Refusal.Kind);

    [Theory]
    [InlineData(ApprovalState.Approved)]
    [InlineData(ApprovalState.Declined)]
    [InlineData(ApprovalState.Withdrawn)]
    public void InvalidDecisions_OnWhatIsSettled_AreRefused(ApprovalState state)
    {
        AskedApproval settled = Of(ApprovalKind.QuarantineRelease, Role.Volunteer) with { State = state };
        ApprovalDecider other = new(Other, Role.Administrator);

        Assert.Equal("approval-settled", ApprovalRules.Approve(settled, other, On, Asked).Refusal.Rule);
        Assert.Equal("approval-settled", ApprovalRules.Decline(settled, other, "no")!.Rule);
        Assert.Equal("approval-settled", ApprovalRules.Withdraw(settled, Asker)!.Rule);
    }

    [Fact]
    public void Decline_NeedsAnotherAccountItsRoleAndAReason()
    {
        AskedApproval asked = Of(ApprovalKind.WriteOff, Role.Volunteer);

        Assert.Equal("second-person-is-another", ApprovalRules.Decline(asked, new ApprovalDecider(Asker, Role.Coordinator), "no")!.Rule);
        Assert.Equal(RefusalKind.Forbidden, ApprovalRules.Decline(asked, new ApprovalDecider(Other, Role.Volunteer), "no")!.Kind);
        Assert.Equal("reason", ApprovalRules.Decline(asked, new ApprovalDecider(Other, Role.Coordinator), "  ")!.Field);
        Assert.Null(ApprovalRules.Decline(asked, new ApprovalDecider(Other, Role.Coordinator), "weigh it again"));
        Assert.Equal(RefusalKind.Forbidden, ApprovalRules.Withdraw(asked, Other)!.Kind);
        Assert.Null(ApprovalRules.Withdraw(asked, Asker));
    }

    // 50 g: the size of a ball, common practice; that earlier write-offs count along is the guild's own rule.
    [Theory]
    [InlineData(50_000, 0, false)]
    [InlineData(50_001, 0, true)]
    [InlineData(30_000, 20_000, false)]
    [InlineData(30_000, 20_001, true)]
    [InlineData(1, 50_000, true)]
    public void KnownThreshold_OfWriteOffs_IsAbove50Grams(long mg, long before, bool needs) => Assert.Equal(needs, WriteOffRules.NeedsSecondPerson(mg, before));

    [Theory]
    [InlineData(100, 100, 0, null)]
    [InlineData(101, 100, 0, "not-enough-in-bin")]
    [InlineData(71, 100, 30, "held-more")]
    [InlineData(70, 100, 30, null)]
    public void InvalidWriteOffs_OfWhatIsNotThereOrPromised_AreRefused(long mg, long inBin, long held, string? rule) =>
        Assert.Equal(rule, WriteOffRules.MayLeave(mg, inBin, held, "K7M4-P9U")?.Rule);

    [Fact]
    public void Sentences_TellTheFiguresAndWhatChanged()
    {
        WriteOffRequest request = new("K7M4P9U", null, 60_000, 100_000, WriteOffTo.Waste, "felted");

        Assert.Equal("60 g of lot K7M4-P9U go to waste; 40 g stay in its bin.", request.Sentence().ToString());
        Assert.Null(request.Since(100_000));
        Assert.Equal("When this was asked for, the books had 100 g there; now they have 80 g.", request.Since(80_000)!.ToString());
        QuarantineReleaseRequest release = new("D-2026-0001/1", null, 3, 900_000, "B2C3U", "looked");
        Assert.Equal(2, release.Since(2, 600_000).Count);
        Assert.Empty(release.Since(3, 900_000));
    }

    private static AskedApproval Of(ApprovalKind kind, Role askedAs) => new(kind, ApprovalState.Waiting, Asker, askedAs, Asked);
}
