using GuildStash.Data;
using GuildStash.Data.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Planning;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Features.Planning;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Planning;

/// <summary>How a plan waits, runs, is stopped, is left behind, and ends.</summary>
public sealed class PlanJobTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    /// <summary>Uneven lots and joins: its later stages are not settled for hours.</summary>
    private static async Task<AskedPlan> HardAsync(PlanRoom room)
    {
        Random random = new(11);
        for (int i = 0; i < 30; i++)
        {
            await room.Desk.LotAsync(random.Next(30, 200));
        }

        List<AskedPiece> pieces = [];
        for (int i = 0; i < 6; i++)
        {
            pieces.Add(new() { PieceId = await room.PieceAsync($"Piece {i}", 90 + random.Next(200)), Wanted = 9 });
        }

        Outcome<AskedPlan> asked = await room.TryAskAsync(room.Desk.Volunteer, new(PlanPurpose.Room, new() { Pieces = pieces, Seconds = 600 }));
        Assert.True(asked.IsOk, string.Join(" ", asked.Refusals));
        return asked.Value;
    }

    [Fact]
    public async Task Run_WhenAPlanWaits_EndsWithAnAnswerAndTheLotsItSaw()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        var lot = await room.Desk.LotAsync(150);
        Guid hat = await room.PieceAsync("Hat", 60);

        PlanView plan = await room.PlanAsync(room.Desk.Member, new() { Pieces = [new() { PieceId = hat, Wanted = 2 }] });

        Assert.Equal((PlanState.Done, "Hat"), (plan.Pulse.State, plan.Name));
        Assert.Equal((2, PlanStatus.Optimal), (plan.Answer!.Count, plan.Answer.Status));
        PlannedLot seen = Assert.Single(plan.Lots.Values);
        Assert.Equal((lot.Display, 150_000L, lot.BinCode), (seen.Code, seen.Mg, seen.BinCode));
        Assert.All(plan.Answer.Assignments, yarn => Assert.Equal((lot.Display, "Body", 60), (yarn.Lot, yarn.Part, yarn.Metres)));
        Assert.NotNull(plan.EndedAt);
        Assert.False(await room.Runner.RunNextAsync(Cancellation));
    }

    [Fact]
    public async Task Run_WhenSomebodyStopsIt_KeepsTheBestSoFar()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        AskedPlan plan = await HardAsync(room);
        Task<bool> run = room.Runner.RunNextAsync(Cancellation);

        PlanPulse better = await room.UntilAsync(plan.Id, pulse => pulse.Step is { Answers: > 0 });
        Assert.Equal(PlanState.Running, better.State);
        Assert.True((await room.ReadAsync(plan.Id)).Answer!.Count > 0);
        Assert.Equal(PlanState.Running, await room.Guild.DoAsync<StopPlan, PlanState>(u => u.RunAsync(room.Desk.Volunteer, plan.Id, Cancellation)));

        Assert.True(await run);
        PlanView stopped = await room.ReadAsync(plan.Id);
        Assert.Equal(PlanState.Stopped, stopped.Pulse.State);
        Assert.True(stopped.Answer!.Count > 0);
        Assert.Equal(PlanState.Stopped, await room.Guild.DoAsync<StopPlan, PlanState>(u => u.RunAsync(room.Desk.Volunteer, plan.Id, Cancellation)));
    }

    [Fact]
    public async Task Run_WhenTheProgramEnds_IsInterruptedWithTheBestSoFar()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        AskedPlan plan = await HardAsync(room);
        using CancellationTokenSource program = new();
        Task<bool> run = room.Runner.RunNextAsync(program.Token);
        await room.UntilAsync(plan.Id, pulse => pulse.Step is { Answers: > 0 });

        await program.CancelAsync();

        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => run);
        PlanView left = await room.ReadAsync(plan.Id);
        Assert.Equal(PlanState.Interrupted, left.Pulse.State);
        Assert.True(left.Answer!.Count > 0);
        Assert.True((await room.AcceptAsync(room.Desk.Coordinator, plan.Id)).IsOk);
    }

    /// <summary>A program that was killed writes nothing more; the next one finds what it had in hand.</summary>
    [Fact]
    public async Task Start_WhenAnotherRunLeftAPlan_EndsItAsInterruptedAndTheLeftRunCanWriteNoMore()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        AskedPlan plan = await HardAsync(room);
        Task<bool> run = room.Runner.RunNextAsync(Cancellation);
        await room.UntilAsync(plan.Id, pulse => pulse.Step is { Answers: > 0 });

        Assert.Equal(1, await room.NewRunner().EndLeftAsync(Cancellation));

        Assert.True(await run);
        PlanView left = await room.ReadAsync(plan.Id);
        Assert.Equal(PlanState.Interrupted, left.Pulse.State);
        Assert.True(left.Answer!.Count > 0);
    }

    [Fact]
    public async Task Stop_WhenItsTurnHasNotCome_EndsItAtOnceAndSaysSo()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        AskedPlan plan = await room.AskAsync(room.Desk.Member, new() { Pieces = [new() { PieceId = await room.PieceAsync("Hat", 60), Wanted = 1 }] });

        Assert.Equal(PlanState.Stopped, await room.Guild.DoAsync<StopPlan, PlanState>(u => u.RunAsync(room.Desk.Member, plan.Id, Cancellation)));

        Assert.False(await room.Runner.RunNextAsync(Cancellation));
        PlanView stopped = await room.ReadAsync(plan.Id);
        Assert.Equal((PlanState.Stopped, "It was stopped before its turn had come."), (stopped.Pulse.State, Assert.Single(stopped.Trouble).ToString()));
    }

    [Fact]
    public async Task Run_WhenNothingIsInTheRoom_AnswersWithReasons()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);

        PlanView plan = await room.PlanAsync(room.Desk.Member, new() { Pieces = [new() { PieceId = await room.PieceAsync("Hat", 60), Wanted = 1 }] });

        Assert.Equal((PlanState.Done, PlanStatus.None), (plan.Pulse.State, plan.Answer!.Status));
        Assert.Contains(plan.Answer.Reasons, reason => reason.Sentence.ToString().StartsWith("There are no lots to plan with", StringComparison.Ordinal));
        Assert.Equal(1, Assert.Single(plan.Answer.Shortages).Missing);
    }

    [Fact]
    public async Task Run_WhenThePieceIsGoneMeanwhile_FailsWithTheReason()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        (_, Guid wanted) = await room.WantedAsync(await room.PieceAsync("Hat", 60), 2);
        AskedPlan plan = await room.AskAsync(room.Desk.Member, new() { Pieces = [new() { WantedPieceId = wanted }] });
        await room.Desk.OwnerSqlAsync($"delete from wanted_piece where id = {wanted}");

        Assert.True(await room.Runner.RunNextAsync(Cancellation));

        PlanView failed = await room.ReadAsync(plan.Id);
        Assert.Equal((PlanState.Failed, "No project wants such a piece any more. Choose again."), (failed.Pulse.State, Assert.Single(failed.Trouble).ToString()));
    }

    [Fact]
    public async Task Ask_WhenThreeAreOpen_IsRefusedUntilOneIsDone()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        PlanAsk ask = new() { Pieces = [new() { PieceId = await room.PieceAsync("Hat", 60), Wanted = 1 }] };
        for (int i = 0; i < AskPlan.MostOpen; i++)
        {
            await room.AskAsync(room.Desk.Member, ask);
        }

        Outcome<AskedPlan> fourth = await room.TryAskAsync(room.Desk.Member, new(PlanPurpose.Member, ask));
        Assert.Equal("plans-waiting", fourth.Refusal.Rule);
        await room.AskAsync(room.Desk.OtherMember, ask);
        Assert.True(await room.Runner.RunNextAsync(Cancellation));
        await room.AskAsync(room.Desk.Member, ask);
    }

    /// <summary>The whole background service: it hears of a plan and seeks it, without being told by the test.</summary>
    [Fact]
    public async Task Job_WhenTheProgramServes_HearsOfAPlanAndSeeksIt()
    {
        await using WebRoom web = await WebRoom.OpenAsync(postgres);
        Outcome<AskedPlan> asked = await web.Guild.UseAsync<AskPlan, Outcome<AskedPlan>>(u => u.RunAsync(web.Guild.Member, new(PlanPurpose.Member, new()
        {
            Pieces = [new() { Name = "Cap", Wanted = 1, Parts = [new() { Name = "Body", MetresLow = 50, MetresLikely = 50, MetresSafe = 50, WeightClasses = [Domain.WeightClasses.WeightClass.Dk] }] }],
        }), Cancellation));

        PlanPulse pulse = default!;
        while (pulse is not { State: PlanState.Done })
        {
            pulse = await web.Guild.DoAsync<PlanReader, PlanPulse>(u => u.PulseAsync(web.Guild.Member, asked.Value.Id, Cancellation));
        }

        Assert.NotNull(pulse.StartedAt);
    }

    [Fact]
    public async Task Night_WhenOpenProjectsWantSomething_AsksForAllAndOnlyTheNewestIsListed()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        await room.Desk.LotAsync(100);
        await room.WantedAsync(await room.PieceAsync("Blanket", 900, piece => piece.Parts[0].Colour = "family:blue"), 3, "Blanket");
        await room.WantedAsync(null, 7, "Toy", project: "Toy drive");
        NightlyWanted nightly = new(new(), Microsoft.Extensions.Logging.Abstractions.NullLogger<NightlyWanted>.Instance);
        for (int night = 0; night < 2; night++)
        {
            DateTimeOffset due = DateTimeOffset.UtcNow;
            Assert.True(await nightly.AskAsync(new Room(room.Guild), due, Cancellation));
            Assert.False(await nightly.AskAsync(new Room(room.Guild), due, Cancellation));
            Assert.True((await room.Guild.DoAsync<PlanReader, WantedYarn>(u => u.WantedAsync(room.Desk.Member, Cancellation))).IsRunning);
            Assert.True(await room.Runner.RunNextAsync(Cancellation));
        }

        WantedYarn wanted = await room.Guild.DoAsync<PlanReader, WantedYarn>(u => u.WantedAsync(room.Desk.Member, Cancellation));
        Assert.NotNull(wanted.AsOf);
        Assert.False(wanted.IsRunning);
        WantedYarnLine line = Assert.Single(wanted.Lines);
        Assert.Equal((2700, Domain.Colours.ColourFamily.Blue), (line.Metres, line.Family));
        Assert.Equal(("Blanket", "Winter drive", 3), (line.Pieces[0].Piece, line.Pieces[0].Project, line.Pieces[0].Missing));
        Assert.Equal(("Toy", "Toy drive", 7), (wanted.Unplanned[0].Piece, wanted.Unplanned[0].Project, wanted.Unplanned[0].Wanted));
        var listed = await room.Guild.DoAsync<PlanReader, PageOf<PlanLine>>(u => u.ListAsync(room.Desk.Coordinator, new(), Cancellation));
        Assert.Single(listed.Items);
        Assert.Equal((0, 3), (listed.Items[0].Made, listed.Items[0].Wanted));
    }

    /// <summary>That nothing is lacking is an answer too, or the last shortages would be told for ever.</summary>
    [Fact]
    public async Task Night_WhenAllThatWasLackingIsMade_AnswersThatNothingIsLacking()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        (Guid project, Guid wanted) = await room.WantedAsync(await room.PieceAsync("Blanket", 900), 3, "Blanket");
        NightlyWanted nightly = new(new(), Microsoft.Extensions.Logging.Abstractions.NullLogger<NightlyWanted>.Instance);
        WantedYarn first = await NightAsync(room, nightly);
        Assert.Equal(3, Assert.Single(first.Lines).Pieces[0].Missing);

        await room.Guild.DoAsync<RecordPieces, RecordedPieces>(u => u.RunAsync(room.Desk.Volunteer, new PiecesInput(wanted, Domain.Projects.PieceStep.Finished, 3, MakerId: room.Desk.Member), Cancellation));
        WantedYarn made = await NightAsync(room, nightly);
        Assert.Empty(made.Lines);
        Assert.True(made.AsOf > first.AsOf);
        PlanView plan = await room.ReadAsync(await room.Desk.AskAsync(db => db.Plans.OrderByDescending(p => p.CreatedAt).Select(p => p.Id).FirstAsync(Cancellation)));
        Assert.Equal((PlanState.Done, PlanStatus.Optimal, 0), (plan.Pulse.State, plan.Answer!.Status, plan.Answer.Made.Count));

        // The room's answer stays young when its last project is closed.
        await room.Guild.DoAsync<Web.Features.Projects.CloseProject, bool>(u => u.RunAsync(room.Desk.Coordinator, project, close: true, Cancellation));
        Assert.True((await NightAsync(room, nightly)).AsOf > made.AsOf);
    }

    /// <summary>What nobody wants any more is not told as lacking, even where the rest is unknown.</summary>
    [Fact]
    public async Task Ask_WhenOnlyUnknownPiecesAreLeft_TakesThePlaceOfTheEarlierAnswer()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        await room.WantedAsync(null, 7, "Toy", project: "Toy drive");
        PlanRequest request = new(PlanPurpose.Wanted, new() { AllProjects = true });
        Assert.Equal("no-needs-known", (await room.TryAskAsync(room.Desk.Coordinator, request)).Refusal.Rule);
        (_, Guid wanted) = await room.WantedAsync(await room.PieceAsync("Blanket", 900), 3, "Blanket");
        Assert.Single((await room.PlanAsync(room.Desk.Coordinator, request.Ask, PlanPurpose.Wanted)).Answer!.Shortages);
        await room.Desk.OwnerSqlAsync($"delete from wanted_piece where id = {wanted}");

        PlanView plan = await room.PlanAsync(room.Desk.Coordinator, request.Ask, PlanPurpose.Wanted);

        Assert.Empty(plan.Answer!.Shortages);
        Assert.Equal("Toy", Assert.Single(plan.Answer.Unplanned).Piece);
        Assert.Empty((await room.Guild.DoAsync<PlanReader, WantedYarn>(u => u.WantedAsync(room.Desk.Member, Cancellation))).Lines);
    }

    private static async Task<WantedYarn> NightAsync(PlanRoom room, NightlyWanted nightly)
    {
        Assert.True(await nightly.AskAsync(new Room(room.Guild), DateTimeOffset.UtcNow, Cancellation));
        Assert.True(await room.Runner.RunNextAsync(Cancellation));
        return await room.Guild.DoAsync<PlanReader, WantedYarn>(u => u.WantedAsync(room.Desk.Member, Cancellation));
    }

    private sealed class Room(GuildRoom guild) : IDbContextFactory<GuildDbContext>
    {
        public GuildDbContext CreateDbContext() => GuildDatabase.Open(guild.AppConnectionString);
    }
}
