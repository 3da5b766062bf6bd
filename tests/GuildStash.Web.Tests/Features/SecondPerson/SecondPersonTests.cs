using System.Security.Claims;
using GuildStash.Data;
using GuildStash.Data.Approvals;
using GuildStash.Data.Ledger;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Components.Layout;
using GuildStash.Web.Features;
using GuildStash.Web.Features.Home;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Features.Settings;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.AspNetCore.Components.Authorization;
using Microsoft.EntityFrameworkCore;
using Npgsql;
using Xunit;

namespace GuildStash.Web.Tests.Features.SecondPerson;

/// <summary>What one person asks for and another approves, on a real database; write-offs stand for every kind.</summary>
public sealed class SecondPersonTests(PostgresFixture postgres)
{
    private static readonly RoomRulesInput Rules = new() { DelayedReviewHours = 72, FreezerMaxCelsius = -20, FreezerDays = 7, FreezerCycles = 1, FreezerSource = "Guild", ApartDays = 30 };

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static Task<Outcome<WroteOff>> TryWriteOffAsync(DeskRoom room, LotView lot, decimal? grams, Guid? by = null, string? reason = "Felted in the wash") =>
        room.Guild.UseAsync<WriteOffLot, Outcome<WroteOff>>(u => u.RunAsync(by ?? room.Volunteer, lot.Id, new WriteOffInput(grams, WriteOffTo.Waste, reason), Cancellation));

    /// <summary>A write-off that has to wait.</summary>
    private static async Task<Guid> AskAsync(DeskRoom room, LotView lot, decimal? grams, Guid? by = null)
    {
        Outcome<WroteOff> asked = await TryWriteOffAsync(room, lot, grams, by);
        Assert.True(asked.IsOk, string.Join(" ", asked.Refusals));
        return asked.Value.ApprovalId ?? throw new InvalidOperationException("It was booked at once.");
    }

    private static Task<Outcome<Decided>> ApproveAsync(DeskRoom room, Guid by, Guid approval, string? seen = null) =>
        room.Guild.UseAsync<DecideApproval, Outcome<Decided>>(u => u.ApproveAsync(by, approval, seen, null, Cancellation));

    private static async Task<int> FaultsAsync(DeskRoom room) =>
        await room.AskAsync(async db => (await BookAudit.RunAsync(db, Cancellation)).Sum(line => line.Faults.Count));

    private static async Task<ApprovalView> SeeAsync(DeskRoom room, Guid by) =>
        Assert.Single((await room.Guild.DoAsync<ApprovalReader, ApprovalDesk>(u => u.WaitingAsync(by, new PageRequest(), Cancellation))).Waiting.Items);

    [Fact]
    public async Task WriteOff_UpToABall_IsBookedAtOnceButNotTwice()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200);

        Assert.Null((await TryWriteOffAsync(room, lot, 30)).Value.ApprovalId);
        Assert.NotNull((await TryWriteOffAsync(room, lot, 30)).Value.ApprovalId);

        Assert.Equal(170_000, (await room.LookAsync(lot)).OnHandMg);
        Assert.Equal(30_000, await room.BalanceAsync(lot, PlaceKind.Waste));
    }

    [Fact]
    public async Task WriteOff_OverABall_MovesNothingUntilACoordinatorApproves()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200);
        Guid approval = await AskAsync(room, lot, 120);
        LotView waits = await room.LookAsync(lot);
        Assert.Equal((200_000, true), (waits.OnHandMg!.Value, waits.AwaitsSecondPerson));
        Refuse.Rule("waits-already", await TryWriteOffAsync(room, lot, 60));
        Refuse.Rule("second-person-is-another", await ApproveAsync(room, room.Volunteer, approval));

        ApprovalView seen = await SeeAsync(room, room.Coordinator);
        Assert.Equal("120 g of lot " + lot.Display + " go to waste; 80 g stay in its bin.", seen.Sentence.ToString());
        Assert.True(seen is { MayApprove: true, IsMine: false, AskedBy: "Vera Volunteer" });
        Outcome<Decided> decided = await ApproveAsync(room, room.Coordinator, approval, seen.Seen);

        Assert.True(decided.IsOk, string.Join(" ", decided.Refusals));
        LotView after = await room.LookAsync(lot);
        Assert.Equal((80_000, false), (after.OnHandMg!.Value, after.AwaitsSecondPerson));
        StoryLine line = (await room.Guild.DoAsync<LotStory, IReadOnlyList<StoryLine>>(u => u.RunAsync(room.Volunteer, lot.Id, Cancellation)))[^1];
        Assert.Equal(("Cora Coordinator", "Vera Volunteer", MovementReason.WrittenOff, 120_000), (line.ByName, line.AskedByName, line.Reason, line.Mg));
        Assert.Equal(0, await FaultsAsync(room));
    }

    [Fact]
    public async Task Approve_WhenThePressIsRepeated_IsOneApproval()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200);
        Guid approval = await AskAsync(room, lot, 60);

        Assert.True((await ApproveAsync(room, room.Coordinator, approval)).IsOk);
        Assert.True((await ApproveAsync(room, room.Coordinator, approval)).IsOk);
        Refuse.Rule("approval-settled", await ApproveAsync(room, room.Guild.Administrator, approval));

        Assert.Equal(140_000, (await room.LookAsync(lot)).OnHandMg);
    }

    [Fact]
    public async Task ExtremeRace_WhenEightApproveDeclineAndWithdrawAtOnce_HasOneEffect()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        for (int round = 0; round < 5; round++)
        {
            LotView lot = await room.LotAsync(200);
            Guid approval = await AskAsync(room, lot, 60);
            List<Task<Outcome<Decided>>> all = [];
            for (int i = 0; i < 3; i++)
            {
                all.Add(Task.Run(() => ApproveAsync(room, room.Coordinator, approval), Cancellation));
                all.Add(Task.Run(() => ApproveAsync(room, room.Guild.Administrator, approval), Cancellation));
            }

            all.Add(Task.Run(() => room.Guild.UseAsync<DecideApproval, Outcome<Decided>>(u => u.DeclineAsync(room.Coordinator, approval, "no", Cancellation)), Cancellation));
            all.Add(Task.Run(() => room.Guild.UseAsync<DecideApproval, Outcome<Decided>>(u => u.WithdrawAsync(room.Volunteer, approval, Cancellation)), Cancellation));
            Outcome<Decided>[] answers = await Task.WhenAll(all);

            Approval settled = await room.AskAsync(db => db.Approvals.AsNoTracking().SingleAsync(a => a.Id == approval, Cancellation));
            Assert.NotEqual(ApprovalState.Waiting, settled.State);
            Assert.All(answers.Where(a => a.IsOk), a => Assert.Equal(settled.State, a.Value.State));
            Assert.Equal(settled.State == ApprovalState.Approved ? 140_000 : 200_000, (await room.LookAsync(lot)).OnHandMg);
            Assert.Equal(settled.State == ApprovalState.Approved ? 1 : 0, await room.AskAsync(db => db.Movements.CountAsync(m => m.ApprovalId == approval, Cancellation)));
        }
    }

    [Fact]
    public async Task Approve_WhenThingsChangedMeanwhile_SaysSoAndAsksTheRulesAnew()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200);
        Guid approval = await AskAsync(room, lot, 150);
        string seen = (await SeeAsync(room, room.Coordinator)).Seen;
        await room.HoldAsync(lot, 60);
        Refuse.Rule("held-more", await ApproveAsync(room, room.Coordinator, approval, seen));

        await room.TakenHomeAsync(lot, 30);
        Refuse.Rule("changed-since-you-looked", await ApproveAsync(room, room.Coordinator, approval, seen));

        ApprovalView now = await SeeAsync(room, room.Coordinator);
        Assert.Equal("When this was asked for, the books had 200 g there; now they have 170 g.", Assert.Single(now.Since).ToString());
        Refuse.Rule("held-more", await ApproveAsync(room, room.Coordinator, approval, now.Seen));
        Assert.Equal(170_000, (await room.LookAsync(lot)).OnHandMg);
    }

    [Fact]
    public async Task Decline_WithAReason_LeavesTheLotAndTellsTheAsker()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200);
        Guid approval = await AskAsync(room, lot, null);

        await room.Guild.DoAsync<DecideApproval, Decided>(u => u.DeclineAsync(room.Coordinator, approval, "Weigh it again first.", Cancellation));

        ApprovalView settled = Assert.Single((await room.Guild.DoAsync<ApprovalReader, PageOf<ApprovalView>>(u => u.SettledAsync(room.Volunteer, new PageRequest(), Cancellation))).Items);
        Assert.Equal(("Cora Coordinator", "Weigh it again first.", ApprovalState.Declined), (settled.DecidedBy, settled.DecisionNote, settled.State));
        Assert.Equal(200_000, (await room.LookAsync(lot)).OnHandMg);
    }

    [Fact]
    public async Task Counts_ShowOnlyWhatThePersonMayApprove()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid second = await room.Guild.AddPersonAsync("Willa Volunteer", "willa@example.org", Role.Volunteer);
        await AskAsync(room, await room.LotAsync(200), 60);
        await AskAsync(room, await room.LotAsync(200), 60, room.Coordinator);

        Assert.Equal((1, 1, 1, 2), (await HomeCountAsync(room, room.Volunteer), await HomeCountAsync(room, second), await HomeCountAsync(room, room.Coordinator), await HomeCountAsync(room, room.Guild.Administrator)));
        Assert.Equal(0, await HomeCountAsync(room, room.Member));
    }

    [Fact]
    public async Task DelayedReview_WhenTheGuildWorksSo_WaitsAndIsMarked()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200);
        await room.Guild.DoAsync<SaveRoomRules, int>(u => u.RunAsync(room.Coordinator, 0, Rules with { DelayedReviewIsOn = true, DelayedReviewHours = 24 }, Cancellation));
        Guid approval = await AskAsync(room, lot, 60, room.Coordinator);
        Refuse.Rule("review-too-early", await ApproveAsync(room, room.Coordinator, approval));
        Assert.NotNull((await SeeAsync(room, room.Coordinator)).ReviewFrom);
        await room.OwnerSqlAsync($"alter table approval disable trigger user");
        await room.OwnerSqlAsync($"update approval set asked_at = asked_at - interval '25 hours'");
        await room.OwnerSqlAsync($"alter table approval enable trigger user");
        Assert.Equal(1, await HomeCountAsync(room, room.Coordinator));

        Assert.True((await ApproveAsync(room, room.Coordinator, approval)).IsOk);

        StoryLine line = (await room.Guild.DoAsync<LotStory, IReadOnlyList<StoryLine>>(u => u.RunAsync(room.Volunteer, lot.Id, Cancellation)))[^1];
        Assert.Equal(24, line.ReviewAfterHours);
        Assert.Equal(0, await FaultsAsync(room));
    }

    [Fact]
    public async Task InvalidRows_AreRefusedByTheDatabaseWhoeverWrites()
    {
        (string Sql, string? Constraint)[] attempts =
        [
            ("update approval set state = 'Approved', decided_at = now(), decided_by_id = asked_by_id", "approval_second_person_is_another"),
            ("update approval set state = 'Approved', decided_at = now(), decided_by_id = asked_by_id, review_after_hours = 24", "approval_delayed_review_waited"),
            ("update approval set state = 'Approved'", "approval_settled_by_somebody"),
            ("update approval set state = 'Declined', decided_at = now(), decided_by_id = (select id from person where role = 'Coordinator')", "approval_declined_with_reason"),
            ("update approval set state = 'Withdrawn', decided_at = now(), decided_by_id = (select id from person where role = 'Coordinator')", "approval_withdrawn_by_asker"),
            ("update approval set payload = '[]'", null),
            ("update approval set asked_by_id = (select id from person where role = 'Coordinator')", null),
            ("delete from approval", null),
            ("truncate approval cascade", null),
        ];
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await AskAsync(room, await room.LotAsync(200), 60);
        await using GuildDbContext db = room.Guild.Look();
        foreach ((string sql, string? constraint) in attempts)
        {
            PostgresException refused = await Assert.ThrowsAsync<PostgresException>(() => db.Database.ExecuteSqlRawAsync(sql, Cancellation));
            Assert.True(constraint is null ? refused.SqlState == PostgresErrorCodes.RestrictViolation : refused.ConstraintName == constraint, $"{sql}: {refused.Message}");
        }
    }

    private static async Task<long> HomeCountAsync(DeskRoom room, Guid by)
    {
        HomeView home = await room.Guild.DoAsync<HomeReader, HomeView>(u => u.RunAsync(by, Cancellation));
        long listed = home.Lists.SingleOrDefault(l => l.Section == HomeSection.SecondPerson)?.Total ?? 0;
        WaitingCounts counts = await room.Guild.UseAsync<GuildWork, WaitingCounts>(work => new WaitingCountsReader(work, new SignedIn(new Somebody(by))).ReadAsync(Cancellation));
        Assert.Equal(listed, counts.SecondPerson ?? 0);
        return listed;
    }

    private sealed class Somebody(Guid id) : AuthenticationStateProvider
    {
        public override Task<AuthenticationState> GetAuthenticationStateAsync() =>
            Task.FromResult(new AuthenticationState(new ClaimsPrincipal(new ClaimsIdentity([new Claim(ClaimTypes.NameIdentifier, id.ToString())]))));
    }
}
