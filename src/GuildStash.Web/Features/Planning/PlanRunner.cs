using GuildStash.Data;
using GuildStash.Data.Guild;
using GuildStash.Data.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Domain.Yardage;
using GuildStash.Planning;
using GuildStash.Planning.Problem;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace GuildStash.Web.Features.Planning;

/// <summary>
/// Seeks waiting plans, one after another, and keeps in the database how far each is, so that any node can show it, anybody may stop
/// it, and the best answer outlives this program. One runner for each run of the program.
/// </summary>
public sealed partial class PlanRunner(IDbContextFactory<GuildDbContext> contexts, SolverDesk desk, GuildYardage yardage, TimeProvider clock, ILogger<PlanRunner> log)
{
    /// <summary>Named in every write, so that a run whose plan was taken away writes nothing more.</summary>
    public Guid RunId { get; } = Guid.CreateVersion7();

    /// <summary>How often progress is kept and a wish to stop is heard.</summary>
    public TimeSpan Interval { get; init; } = TimeSpan.FromSeconds(1);

    /// <summary>Ends what is marked as running and is in nobody's hands; call it while nobody, this runner included, may run plans.</summary>
    /// <returns>How many there were.</returns>
    public async Task<int> EndLeftAsync(CancellationToken cancellation)
    {
        await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
        return await db.Database.ExecuteSqlAsync(
            $"update plan set state = 'Interrupted', ended_at = now(), version = version + 1 where state = 'Running'", cancellation);
    }

    /// <summary>Takes up the plan that has waited longest and sees it through.</summary>
    /// <returns>False where none waits.</returns>
    public async Task<bool> RunNextAsync(CancellationToken cancellation)
    {
        if (await TakeUpAsync(cancellation) is not { } plan)
        {
            return false;
        }

        PlanKeeper keeper = new(contexts, plan.Id, RunId, clock, Interval);
        try
        {
            await SeekAsync(plan, keeper, cancellation);
        }
        catch (OperationCanceledException) when (cancellation.IsCancellationRequested)
        {
            // The program ends; what was found so far is kept, and the page says so.
            await keeper.EndAsync(PlanState.Interrupted, null, [], CancellationToken.None);
            throw;
        }
        catch (Exception fault) when (DatabaseTrouble.Of(fault) is null)
        {
            LogBroken(fault, plan.Number);
            await keeper.EndAsync(PlanState.Failed, null, [new Phrase("The search broke off through a fault of the program. Plan again; tell the administrator if it happens twice.")], cancellation);
        }

        return true;
    }

    private async Task<Plan?> TakeUpAsync(CancellationToken cancellation)
    {
        await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
        List<Guid> taken = await db.Database.SqlQuery<Guid>(
            $"""
             update plan set state = 'Running', run_id = {RunId}, heard_at = now(), started_at = now(), version = version + 1
             where id = (select id from plan where state = 'Waiting' order by created_at, id limit 1 for update skip locked)
             returning id as "Value"
             """).ToListAsync(cancellation);
        return taken is [{ } id] ? await db.Plans.AsNoTracking().SingleAsync(p => p.Id == id, cancellation) : null;
    }

    private async Task SeekAsync(Plan plan, PlanKeeper keeper, CancellationToken cancellation)
    {
        PlanAsk ask = PlanJson.Read<PlanAsk>(plan.Ask);
        Outcome<Prepared> ready = await PrepareAsync(plan, ask, cancellation);
        if (!ready.IsOk)
        {
            await keeper.EndAsync(PlanState.Failed, null, [.. ready.Refusals.Select(refusal => refusal.Sentence)], cancellation);
            return;
        }

        (ReadyPieces pieces, List<PlannedLot> lots, PlanProblem? problem, double safety) = ready.Value;
        if (problem is null)
        {
            await keeper.EndWithoutSearchAsync(PlanResult.NothingMissing(pieces, safety), cancellation);
            return;
        }

        keeper.Words = answer => PlanResult.Of(answer, pieces, safety, problem.Lots.Count);
        if (!await keeper.BeginAsync(lots, cancellation))
        {
            return;
        }

        PlanOptions options = new() { Seconds = ask.Seconds, Seed = ask.Seed };
        Task<PlanAnswer> search = desk.SolveInTurnAsync(problem, options, keeper, keeper.Stop, cancellation);
        try
        {
            await keeper.FollowAsync(search, cancellation);
        }
        catch
        {
            // Nobody would wait for the search any more, and it must not keep the machine.
            await keeper.GiveUpAsync();
            throw;
        }

        PlanAnswer answer = await search;
        if (keeper.IsLost)
        {
            return;
        }

        await keeper.EndAsync(answer.IsStopped ? PlanState.Stopped : PlanState.Done, answer, [], cancellation);
        LogFound(plan.Number, answer.Count, problem.Pieces.Sum(piece => piece.Wanted), problem.Lots.Count);
    }

    private async Task<Outcome<Prepared>> PrepareAsync(Plan plan, PlanAsk ask, CancellationToken cancellation)
    {
        await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
        YardageRules rules = await yardage.ReadAsync(db, cancellation);
        GuildSettings guild = await db.Guilds.AsNoTracking().SingleAsync(cancellation);
        DateTimeOffset now = (await db.Database.SqlQuery<DateTimeOffset>($"select now() as \"Value\"").ToListAsync(cancellation))[0];
        Outcome<ReadyPieces> pieces = await new ReadyPiecesReader(db, plan.ProjectId, now, cancellation).ReadAsync(ask);
        if (!pieces.IsOk)
        {
            return Outcome<Prepared>.Refused(pieces.Refusals);
        }

        double safety = ask.Safety ?? guild.PlanSafetyPercent / 100.0;
        if (pieces.Value.Pieces.Count == 0)
        {
            return plan.Purpose == PlanPurpose.Wanted ? new Prepared(pieces.Value, [], null, safety) : AskPlan.NothingToPlan(pieces.Value);
        }

        List<ReadyLot> lots = await RoomLots.ReadAsync(db, ask, safety, rules, now, cancellation);
        (PlanInput input, List<PlannedLot> places) = PlanInputs.Of(ask, pieces.Value, lots, safety, rules);
        Outcome<PlanProblem> problem = PlanProblem.Create(input);
        return problem.IsOk ? new Prepared(pieces.Value, places, problem.Value, safety) : Outcome<Prepared>.Refused(problem.Refusals);
    }

    /// <param name="Problem">Null where the open projects lack nothing.</param>
    private sealed record Prepared(ReadyPieces Pieces, List<PlannedLot> Lots, PlanProblem? Problem, double Safety);

    [LoggerMessage(LogLevel.Information, "Plan {Number} makes {Made} of {Wanted} pieces from {Lots} lots")]
    private partial void LogFound(string number, int made, int wanted, int lots);

    [LoggerMessage(LogLevel.Error, "The search for plan {Number} broke off")]
    private partial void LogBroken(Exception fault, string number);
}

/// <summary>Keeps one running plan's progress, and hears when somebody wants it stopped.</summary>
internal sealed class PlanKeeper(IDbContextFactory<GuildDbContext> contexts, Guid planId, Guid runId, TimeProvider clock, TimeSpan interval) : IProgress<PlanProgress>
{
    private readonly CancellationTokenSource _stop = new();
    private volatile object? _newest;
    private Func<PlanAnswer>? _kept;
    private int _answers;

    /// <summary>Asked for when a person wants it, or when the plan is another's by now.</summary>
    public CancellationToken Stop => _stop.Token;

    /// <summary>The plan was taken out of this run's hands; nothing more is written.</summary>
    public bool IsLost { get; private set; }

    /// <summary>Puts an answer into the words that are kept.</summary>
    public Func<PlanAnswer, PlanResult>? Words { get; set; }

    public Task GiveUpAsync() => _stop.CancelAsync();

    public void Report(PlanProgress value) => _newest = value;

    /// <returns>False when the plan is no longer this run's.</returns>
    public async Task<bool> BeginAsync(IReadOnlyList<PlannedLot> lots, CancellationToken cancellation)
    {
        string json = PlanJson.Write(lots);
        string step = PlanJson.Write(new PlanStep(null, 0, null, 0));
        return await WriteAsync($"update plan set lots = {json}::jsonb, progress = {step}::jsonb, heard_at = now() where id = {planId} and run_id = {runId} and state = 'Running'", cancellation);
    }

    /// <summary>Keeps progress until the search is over; never faster than the interval.</summary>
    public async Task FollowAsync(Task<PlanAnswer> search, CancellationToken cancellation)
    {
        using PeriodicTimer timer = new(interval, clock);
        Task<bool> tick = timer.WaitForNextTickAsync(cancellation).AsTask();
        while (await Task.WhenAny(search, tick) == tick && !search.IsCompleted)
        {
            try
            {
                await KeepAsync(cancellation);
            }
            catch (Exception fault) when (DatabaseTrouble.IsSilent(fault))
            {
                // The search goes on; the next tick tries again.
            }

            tick = timer.WaitForNextTickAsync(cancellation).AsTask();
        }
    }

    /// <summary>Writes what it came to. Without an answer the one that was kept stays.</summary>
    /// <param name="trouble">Why it came to nothing.</param>
    public Task EndAsync(PlanState state, PlanAnswer? answer, IReadOnlyList<Phrase> trouble, CancellationToken cancellation) =>
        CloseAsync(state, answer is not null ? Words!(answer) : Newest() is { } soFar ? Words!(soFar()) : null, trouble, cancellation);

    /// <summary>Writes an answer that needed no search.</summary>
    public Task EndWithoutSearchAsync(PlanResult result, CancellationToken cancellation) => CloseAsync(PlanState.Done, result, [], cancellation);

    private async Task CloseAsync(PlanState state, PlanResult? result, IReadOnlyList<Phrase> trouble, CancellationToken cancellation)
    {
        string name = state.ToString();
        string? json = result is null ? null : PlanJson.Write(result);
        string why = PlanTrouble.Write(trouble);
        for (int attempt = 1; ; attempt++)
        {
            try
            {
                await WriteAsync(
                    $"""
                     update plan set state = {name}, answer = coalesce({json}::jsonb, answer), trouble = {why}, ended_at = now(), heard_at = now(), version = version + 1
                     where id = {planId} and run_id = {runId} and state = 'Running'
                     """, cancellation);
                return;
            }
            catch (Exception fault) when (DatabaseTrouble.IsSilent(fault))
            {
                if (!await DatabaseTrouble.PauseAsync(attempt, cancellation))
                {
                    throw;
                }
            }
        }
    }

    /// <summary>The best answer that has not been kept yet.</summary>
    private Func<PlanAnswer>? Newest() => _newest is PlanProgress progress && progress.SoFar != _kept ? progress.SoFar : null;

    private async Task KeepAsync(CancellationToken cancellation)
    {
        string? answer = null;
        if (Newest() is { } soFar)
        {
            PlanResult result = Words!(await Task.Run(soFar, cancellation));
            answer = PlanJson.Write(result);
            _kept = soFar;
            _answers++;
        }

        string step = PlanJson.Write(_newest is PlanProgress progress ? new PlanStep(progress.Stage, progress.Best, progress.Bound, _answers) : new PlanStep(null, 0, null, 0));
        await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
        List<bool> stop = await db.Database.SqlQuery<bool>(
            $"""
             update plan set progress = {step}::jsonb, answer = coalesce({answer}::jsonb, answer), heard_at = now()
             where id = {planId} and run_id = {runId} and state = 'Running'
             returning stop_asked_at is not null as "Value"
             """).ToListAsync(cancellation);
        IsLost = stop.Count == 0;
        if (IsLost || stop[0])
        {
            await _stop.CancelAsync();
        }
    }

    private async Task<bool> WriteAsync(FormattableString statement, CancellationToken cancellation)
    {
        await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
        return await db.Database.ExecuteSqlAsync(statement, cancellation) == 1;
    }
}
