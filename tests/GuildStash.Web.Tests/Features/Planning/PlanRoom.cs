using GuildStash.Data;
using GuildStash.Data.Projects;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Planning;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using Xunit;

namespace GuildStash.Web.Tests.Features.Planning;

/// <summary>A room with lots, a piece book and projects, and a runner of plans that the test starts itself.</summary>
internal sealed class PlanRoom : IAsyncDisposable
{
    private readonly SolverDesk _desk = new();

    private PlanRoom(DeskRoom desk)
    {
        Desk = desk;
        Runner = NewRunner();
    }

    public DeskRoom Desk { get; }

    public GuildRoom Guild => Desk.Guild;

    public PlanRunner Runner { get; }

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    public static async Task<PlanRoom> OpenAsync(PostgresFixture postgres) => new(await DeskRoom.OpenAsync(postgres));

    /// <summary>A runner of its own, as another run of the program has one.</summary>
    public PlanRunner NewRunner() => new(new Contexts(Guild.AppConnectionString), _desk, new GuildYardage(), TimeProvider.System, NullLogger<PlanRunner>.Instance) { Interval = TimeSpan.FromMilliseconds(20) };

    /// <summary>A line of the piece book with one part of aran yarn.</summary>
    public async Task<Guid> PieceAsync(string name, double metres, Action<Piece>? with = null)
    {
        Piece piece = new() { Name = name, CreatedAt = DateTimeOffset.UtcNow, CreatedById = Desk.Coordinator, ChangedAt = DateTimeOffset.UtcNow, ChangedById = Desk.Coordinator };
        piece.Parts.Add(new() { PieceId = piece.Id, Name = "Body", MetresLow = metres, MetresLikely = metres, MetresSafe = metres, WeightClasses = [WeightClass.Aran], MaxLots = 3 });
        with?.Invoke(piece);
        await using GuildDbContext db = Guild.Look();
        db.Pieces.Add(piece);
        await db.SaveChangesAsync(Cancellation);
        return piece.Id;
    }

    /// <summary>A project that wants so many of a piece.</summary>
    /// <returns>The project and its wanted piece.</returns>
    public async Task<(Guid Project, Guid Wanted)> WantedAsync(Guid? piece, int wanted, string name = "Hat", RecipientRules rules = RecipientRules.None, string project = "Winter drive", DateOnly? deadline = null)
    {
        Guid id = await Desk.ProjectAsync(project, rules);
        WantedPiece row = new() { ProjectId = id, Name = name, Wanted = wanted, PieceId = piece };
        await using GuildDbContext db = Guild.Look();
        db.WantedPieces.Add(row);
        await db.SaveChangesAsync(Cancellation);
        if (deadline is { } day)
        {
            await db.Projects.Where(p => p.Id == id).ExecuteUpdateAsync(set => set.SetProperty(p => p.Deadline, day), Cancellation);
        }

        return (id, row.Id);
    }

    public Task<Outcome<AskedPlan>> TryAskAsync(Guid by, PlanRequest request) => Guild.UseAsync<AskPlan, Outcome<AskedPlan>>(u => u.RunAsync(by, request, Cancellation));

    public async Task<AskedPlan> AskAsync(Guid by, PlanAsk ask, PlanPurpose purpose = PlanPurpose.Member, Guid? project = null)
    {
        Outcome<AskedPlan> asked = await TryAskAsync(by, new(purpose, ask with { Seconds = Math.Min(ask.Seconds, 5) }, ProjectId: project));
        Assert.True(asked.IsOk, string.Join(" ", asked.Refusals));
        return asked.Value;
    }

    /// <summary>Asks, seeks and reads.</summary>
    public async Task<PlanView> PlanAsync(Guid by, PlanAsk ask, PlanPurpose purpose = PlanPurpose.Member, Guid? project = null)
    {
        AskedPlan asked = await AskAsync(by, ask, purpose, project);
        Assert.True(await Runner.RunNextAsync(Cancellation));
        return await ReadAsync(asked.Id);
    }

    public Task<PlanView> ReadAsync(Guid plan) => Guild.DoAsync<PlanReader, PlanView>(u => u.OneAsync(Desk.Coordinator, plan, Cancellation));

    public Task<Outcome<AcceptedPlan>> AcceptAsync(Guid by, Guid plan, AcceptInput? input = null) =>
        Guild.UseAsync<AcceptPlan, Outcome<AcceptedPlan>>(u => u.RunAsync(by, plan, input ?? new(), Cancellation));

    /// <summary>Waits until the database says so of a plan.</summary>
    public async Task<PlanPulse> UntilAsync(Guid plan, Func<PlanPulse, bool> holds)
    {
        while (true)
        {
            PlanPulse pulse = await Guild.DoAsync<PlanReader, PlanPulse>(u => u.PulseAsync(Desk.Coordinator, plan, Cancellation));
            if (holds(pulse))
            {
                return pulse;
            }

            await Task.Yield();
            Cancellation.ThrowIfCancellationRequested();
        }
    }

    public async ValueTask DisposeAsync()
    {
        _desk.Dispose();
        await Desk.DisposeAsync();
    }

    private sealed class Contexts(string connection) : IDbContextFactory<GuildDbContext>
    {
        public GuildDbContext CreateDbContext() => GuildDatabase.Open(connection);
    }
}
