using GuildStash.Domain.Approvals;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Features.Quarantine;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Features.Sorting;

namespace GuildStash.Web.Features.Demo;

/// <summary>Carries out the plan of the demo's year, each step by its use case, and remembers which key each planned thing got.</summary>
/// <param name="pieces">The piece book by name.</param>
internal sealed class DemoYear(DemoGuild demo, DemoScenario scenario, IReadOnlyList<Guid> people, IReadOnlyList<string> bins, IReadOnlyDictionary<string, Guid> pieces)
{
    private readonly Dictionary<int, Guid> _bags = [];
    private readonly Dictionary<int, LotView> _lots = [];
    private readonly Dictionary<int, Guid> _projects = [];
    private readonly Dictionary<int, PlacedRequest> _requests = [];
    private readonly Dictionary<int, Guid> _takings = [];
    private readonly Dictionary<int, Guid> _returns = [];
    private Guid _freezing;

    public async Task RunAsync(DemoPlan plan, Action<string> progress, CancellationToken cancellation)
    {
        foreach (DemoStep step in plan.Steps)
        {
            await (step switch
            {
                LogGiftStep s => LogAsync(s, cancellation),
                AddLotStep s => AddAsync(s, cancellation),
                StartProjectStep s => StartAsync(s, cancellation),
                ReserveStep s => ReserveAsync(s, cancellation),
                HandOverHoldStep s => HandOverAsync(s, s.Taking, new HandOverInput(_requests[s.Request].Holds[s.Line].Id), cancellation),
                HandOverLotStep s => HandOverAsync(s, s.Taking, new HandOverInput(LotCode: _lots[s.Part.Lot].Code, MemberId: people[s.Member], Grams: s.Part.Grams), cancellation),
                TakeBackStep s => TakeBackAsync(s, cancellation),
                _ => SettleAsync(step, cancellation),
            });
        }

        progress($"{_bags.Count} bags, {_lots.Count} lots, {_projects.Count} projects");
        progress($"{_requests.Count} requests, {_takings.Count} hand-overs, {_returns.Count} returns");
    }

    private Task<TResult> DoAsync<TUseCase, TResult>(DemoStep step, Func<TUseCase, Guid, Task<Outcome<TResult>>> use)
        where TUseCase : notnull => demo.DoAsync<TUseCase, TResult>(step.At, u => use(u, people[step.By]));

    /// <summary>Steps after which nothing has to be remembered.</summary>
    private Task SettleAsync(DemoStep step, CancellationToken cancellation) => step switch
    {
        CloseBagStep s => DoAsync<CloseBag, ClosedBag>(s, (u, by) => u.RunAsync(by, _bags[s.Bag], cancellation)),
        ReleaseBagStep s => ReleaseAsync(s, cancellation),
        DiscardBagStep s => DoAsync<DiscardBag, DiscardedBag>(s, (u, by) => u.RunAsync(by, _bags[s.Bag], s.Reason, cancellation)),
        WeighLotStep s => DoAsync<WeighLot, WeighedLot>(s, (u, by) => u.RunAsync(by, _lots[s.Lot].Id, s.Grams, 1, cancellation)),
        CloseProjectStep s => DoAsync<CloseProject, bool>(s, (u, by) => u.RunAsync(by, _projects[s.Project], close: true, cancellation)),
        CancelHoldStep s => DoAsync<CancelHold, bool>(s, (u, by) => u.RunAsync(by, _requests[s.Request].Holds[s.Line].Id, cancellation)),
        InspectReturnStep s => DoAsync<InspectReturn, InspectedReturn>(s, (u, by) => u.RunAsync(by, _returns[s.Taking], new ReturnInspection(true, s.Note, []), cancellation)),
        QuarantineLotStep s => DoAsync<QuarantineLot, bool>(s, (u, by) => u.RunAsync(by, _lots[s.Lot].Id, s.Note, null, cancellation)),
        FreezeStep s => FreezeAsync(s, cancellation),
        FinishFreezingStep s => DoAsync<FinishFreezerRun, FinishedRun>(s, (u, by) => u.RunAsync(
            by, _freezing, new FreezerResultInput(demo.At(s.Out), s.Coldest, s.Warmest, false, demo.At(s.Out).AddHours(12), s.Result, false), cancellation)),
        WriteOffStep s => DoAsync<WriteOffLot, WroteOff>(s, (u, by) => u.RunAsync(by, _lots[s.Lot].Id, new WriteOffInput(s.Grams, WriteOffTo.Waste, s.Reason), cancellation)),
        SplitLotStep s => SplitAsync(s, cancellation),
        MergeLotsStep s => MergeAsync(s, cancellation),
        UseUpStep s => DoAsync<FinishCheckout, bool>(s, (u, by) => u.RunAsync(by, _takings[s.Taking], cancellation)),
        _ => throw new InvalidOperationException($"Nobody carries out {step.GetType().Name}."),
    };

    /// <summary>One volunteer inspects and asks, another one approves.</summary>
    private async Task ReleaseAsync(ReleaseBagStep step, CancellationToken cancellation)
    {
        AskedRelease asked = await DoAsync<AskRelease, AskedRelease>(step, (u, by) => u.RunAsync(by, new InspectionInput(_bags[step.Bag], null, null, step.Note), cancellation));
        await demo.DoAsync<DecideApproval, Decided>(step.At, u => u.ApproveAsync(people[step.Second], asked.ApprovalId, null, "", cancellation));
    }

    private async Task SplitAsync(SplitLotStep step, CancellationToken cancellation) =>
        _lots[step.Part] = await DoAsync<SplitLot, LotView>(step, (u, by) => u.RunAsync(by, _lots[step.Lot].Id, new SplitInput(step.Grams, null, 1, null, step.Note), cancellation));

    /// <summary>Whatever the two differ in is agreed to.</summary>
    private async Task MergeAsync(MergeLotsStep step, CancellationToken cancellation)
    {
        (string left, string other) = (_lots[step.Left].Code, _lots[step.Other].Code);
        MergePreview seen = await DoAsync<PreviewMerge, MergePreview>(step, (u, by) => u.RunAsync(by, left, [other], cancellation));
        Guid asked = await DoAsync<AskMerge, Guid>(step, (u, by) => u.RunAsync(by, new MergeInput(left, [other], [.. seen.Widened.Select(w => w.Key)], step.Reason), cancellation));
        await demo.DoAsync<DecideApproval, Decided>(step.At, u => u.ApproveAsync(people[step.Second], asked, null, "", cancellation));
    }

    private async Task FreezeAsync(FreezeStep step, CancellationToken cancellation) =>
        _freezing = await DoAsync<StartFreezerRun, Guid>(step, (u, by) => u.RunAsync(by, new FreezerRunInput(step.Freezer, null, [], [_lots[step.Lot].Id]), cancellation));

    private async Task LogAsync(LogGiftStep step, CancellationToken cancellation)
    {
        DemoDonor? donor = step.Donor is { } index ? scenario.Donors[index] : null;
        IReadOnlyList<DonorChoice> known = donor is null ? [] : await DoAsync<GiftReader, IReadOnlyList<DonorChoice>>(step, (u, by) => u.DonorsAsync(by, donor.Name, cancellation));
        GiftInput input = known.Count > 0
            ? step.Input with { DonorId = known[0].Id }
            : step.Input with { DonorName = donor?.Name, DonorContact = donor?.Contact };
        LoggedGift gift = await DoAsync<LogGift, LoggedGift>(step, (u, by) => u.RunAsync(by, input, cancellation));
        foreach (LoggedBag bag in gift.Bags)
        {
            _bags[step.FirstBag + bag.Ordinal - 1] = bag.Id;
        }
    }

    private async Task AddAsync(AddLotStep step, CancellationToken cancellation)
    {
        LotInput lot = step.Input with { BinCode = step.Bin is { } bin ? bins[bin] : null };
        _lots[step.Lot] = await DoAsync<AddLot, LotView>(step, (u, by) => u.RunAsync(by, _bags[step.Bag], lot, cancellation));
    }

    private async Task StartAsync(StartProjectStep step, CancellationToken cancellation)
    {
        DemoProject project = scenario.Projects[step.Project];
        _projects[step.Project] = await DoAsync<CreateProject, Guid>(step, (u, by) => u.RunAsync(by, new ProjectInput
        {
            Name = project.Name,
            Recipient = project.Recipient,
            Description = project.Description,
            Rules = project.AllRules,
            Deadline = demo.Today.AddDays(project.DeadlineInDays),
            Pieces = [.. project.Pieces.Select(p => new PieceInput(p.Name, p.Wanted, p.Notes) { PieceId = p.Book is { } line ? pieces[line] : null, Priority = p.Priority })],
        }, cancellation));
    }

    private async Task ReserveAsync(ReserveStep step, CancellationToken cancellation)
    {
        // A hold that must outlast the day of loading is longer than a member may ask for, so the coordinator asks for it.
        Guid member = people[step.By];
        Guid asks = step.Days is null ? member : people[scenario.Accounts.ToList().FindIndex(a => a.Role == Role.Coordinator)];
        HoldInput input = new(
            [.. step.Parts.Select(p => new WantedYarn(_lots[p.Lot].Code, p.Grams, null))], step.Project is { } project ? _projects[project] : null, member, Days: step.Days);
        _requests[step.Request] = await demo.DoAsync<RequestHolds, PlacedRequest>(step.At, u => u.RunAsync(asks, input, cancellation));
    }

    private async Task HandOverAsync(DemoStep step, int taking, HandOverInput input, CancellationToken cancellation) =>
        _takings[taking] = (await DoAsync<HandOverYarn, HandedOver>(step, (u, by) => u.RunAsync(by, input, cancellation))).Id;

    private async Task TakeBackAsync(TakeBackStep step, CancellationToken cancellation) =>
        _returns[step.Taking] = (await DoAsync<TakeBack, TakenBack>(step, (u, by) =>
            u.RunAsync(by, _takings[step.Taking], new ReturnInput(step.Grams, step.Looked ? [] : null, IsAll: true), cancellation))).Id;
}
