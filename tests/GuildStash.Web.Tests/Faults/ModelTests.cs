using System.Diagnostics;
using System.Globalization;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Faults;

/// <summary>Random sequences of everything that moves a lot, against books as a child would keep them: same balances, same refusals.</summary>
public sealed class ModelTests(PostgresFixture postgres)
{
    private const int CommandsEach = 12;
    private const int LotsOfABag = 100;
    private const int AtOnce = 2;

    /// <summary>Sequences after which a rule that was never met is a fault of the model or of the draws.</summary>
    private const int MostSequences = 2_000;

    /// <summary>A model that is never contradicted proves nothing where the rules were never met.</summary>
    private static readonly HashSet<string> Rules =
    [
        "done", "not-enough-free", "lot-closed", "invalid-value", "hold-ended", "hold-lapsed", "not-found", "more-than-taken", "checkout-closed", "return-settled", "held-for-others", "beyond-weighing-error",
    ];

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Commands_WhenDrawnAtRandom_GiveTheModelsBalancesAndRefusals()
    {
        int sequences = TestLength.Pick(40, 10_000);
        int seed = TestLength.Seed();
        TestContext.Current.TestOutputHelper!.WriteLine($"seed {seed}, at least {sequences} sequences of {CommandsEach} commands, until each rule was met");
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        string[] bins = [await BinAsync(room, "Left"), await BinAsync(room, "Right")];
        Stopwatch watch = Stopwatch.StartNew();
        Dictionary<string, int> answers = [];
        await Task.WhenAll(Enumerable.Range(0, AtOnce).Select(worker => Task.Run(async () =>
        {
            Guid bag = default;
            for (int i = worker; i < sequences || (i < MostSequences && !AreAllMet(answers)); i += AtOnce)
            {
                bag = i / AtOnce % LotsOfABag == 0 ? await BagAsync(room) : bag;
                await new Sequence(room, new Random(unchecked((seed * 397) ^ i)), bins, $"seed {seed}, sequence {i}", answers).RunAsync(bag);
            }
        })));
        TestContext.Current.TestOutputHelper!.WriteLine(
            $"{watch.Elapsed.TotalSeconds.ToString("0.0", CultureInfo.InvariantCulture)} s; " + string.Join(", ", answers.OrderByDescending(a => a.Value).Select(a => $"{a.Key} {a.Value}")));

        Assert.Superset(Rules, answers.Keys.ToHashSet());
    }

    [Fact]
    public async Task Leftovers_WhenThrownAwayAtTheEdgeOfABall_AreAskedForAsTheModelSays()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Dictionary<string, int> answers = [];
        await new Sequence(room, new Random(1), [], "by hand", answers).ThrowAwayAsync(await BagAsync(room));

        Assert.Equal((2, 1, 1), (answers["asked"], answers["waits-already"], answers["return-settled"]));
    }

    private static bool AreAllMet(Dictionary<string, int> answers)
    {
        lock (answers)
        {
            return Rules.IsSubsetOf(answers.Keys);
        }
    }

    private static async Task<string> BinAsync(DeskRoom room, string name) =>
        (await room.Guild.DoAsync<CreateBin, BinView>(u => u.RunAsync(room.Volunteer, new BinInput(name, BinKind.Shelf, null, null, null, null), Cancellation))).Code;

    private static async Task<Guid> BagAsync(DeskRoom room) =>
        (await room.Guild.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(90_000, 0, [])] }, Cancellation))).Bags[0].Id;

    /// <summary>One lot's life.</summary>
    private sealed class Sequence(DeskRoom room, Random random, string[] bins, string name, Dictionary<string, int> answers)
    {
        private readonly List<string> _done = [];
        private ModelLot _lot = null!;
        private Guid _lotId;
        private Guid _request;

        public async Task RunAsync(Guid bag)
        {
            await BeginAsync(bag, random.Next(10_000, 400_000));
            for (int i = 0; i < CommandsEach; i++)
            {
                await StepAsync();
                await CompareAsync();
            }
        }

        private async Task BeginAsync(Guid bag, long mg)
        {
            LotView lot = await room.Guild.DoAsync<AddLot, LotView>(u => u.RunAsync(
                room.Volunteer, bag, new LotInput { Grams = mg / 1000m, WeightClass = WeightClass.Dk, ColourHex = "#4f6d8f" }, Cancellation));
            (_lot, _lotId) = (new ModelLot(lot.Code, mg), lot.Id);
        }

        /// <summary>What random draws rarely reach: leftovers at and beyond a ball's worth, together with those before, and each way to settle them.</summary>
        public async Task ThrowAwayAsync(Guid bag)
        {
            await BeginAsync(bag, 400_000);
            foreach (long mg in new long[] { 30_000, 20_000, 1, 50_001 })
            {
                await BringBackAsync(mg);
            }

            await InspectAsync(_lot.Returns[0], passed: false);
            await CompareAsync();
            await InspectAsync(_lot.Returns[1], passed: false);
            await CompareAsync();
            await InspectAsync(_lot.Returns[2], passed: false);
            await CompareAsync();
            await InspectAsync(_lot.Returns[3], passed: false);
            await DecideAsync(approved: false);
            await CompareAsync();
            await InspectAsync(_lot.Returns[3], passed: false);
            await CompareAsync();
            await InspectAsync(_lot.Returns[2], passed: true);
            await DecideAsync(approved: true);
            await CompareAsync();
            await InspectAsync(_lot.Returns[3], passed: true);
        }

        private Task StepAsync() => random.Next(13) switch
        {
            <= 2 => ReserveAsync(),
            3 => WithHoldAsync(CancelAsync),
            4 => WithHoldAsync(LapseAsync),
            5 or 6 => WithHoldAsync(HandOverHoldAsync),
            7 => HandOverAsync(),
            8 or 9 => WithCheckoutAsync(TakeBackAsync),
            10 => WithCheckoutAsync(FinishAsync),
            11 => _lot.Asked is not null && random.Next(2) == 0 ? DecideAsync() : WithReturnAsync(InspectAsync),
            _ => MoveAsync(),
        };

        private Task WithHoldAsync(Func<ModelHold, Task> act) => _lot.Holds.Count > 0 ? act(_lot.Holds[random.Next(_lot.Holds.Count)]) : ReserveAsync();

        private Task WithCheckoutAsync(Func<ModelCheckout, Task> act) => _lot.Checkouts.Count > 0 ? act(_lot.Checkouts[random.Next(_lot.Checkouts.Count)]) : HandOverAsync();

        private Task WithReturnAsync(Func<ModelReturn, Task> act) => _lot.Returns.Count > 0 ? act(_lot.Returns[random.Next(_lot.Returns.Count)]) : MoveAsync();

        /// <summary>Some masses that fit, some that don't, some that are none.</summary>
        private long Mass(long of) => random.Next(8) switch
        {
            0 => of,
            1 => of + random.Next(1, 9_000),
            2 => Math.Max(1, of - random.Next(0, 4_000)),
            3 => random.Next(2) == 0 ? 0 : -1_000,
            _ => random.NextInt64(1, Math.Max(2, of)),
        };

        private async Task BringBackAsync(long mg)
        {
            Outcome<HandedOver> taken = await room.TryHandOverAsync(new HandOverInput(LotCode: _lot.Code, MemberId: room.Member, Grams: mg / 1000m));
            Agree($"hand over {mg}", _lot.HandOver(mg, whole: false), taken);
            Took(taken, other: false);
            Outcome<TakenBack> real = await room.TryTakeBackAsync(taken.Value.Id, new ReturnInput(mg / 1000m, null, true));
            Agree($"take back {mg}", _lot.TakeBack(_lot.Checkouts[^1], mg, isAll: true), real);
            _lot.Lay(new ModelReturn(real.Value.Id, mg, isSettled: false));
            await CompareAsync();
        }

        private async Task ReserveAsync()
        {
            bool other = random.Next(2) == 0;
            long mg = Mass(_lot.Free);
            Outcome<PlacedRequest> real = await room.TryHoldAsync(Member(other), new HoldInput([new WantedYarn(_lot.Code, mg / 1000m, null)]));
            Agree($"reserve {mg}", _lot.Reserve(mg), real);
            if (real.IsOk)
            {
                _lot.Holds.Add(new ModelHold(real.Value.Holds[0].Id, other, mg));
            }
        }

        private async Task CancelAsync(ModelHold hold)
        {
            (bool other, bool volunteer) = (random.Next(2) == 0, random.Next(3) == 0);
            Outcome<bool> real = await room.Guild.UseAsync<CancelHold, Outcome<bool>>(u => u.RunAsync(volunteer ? room.Volunteer : Member(other), hold.Id, Cancellation));
            Agree($"cancel {hold.Mg}", _lot.Cancel(hold, other, volunteer), real);
        }

        private async Task LapseAsync(ModelHold hold)
        {
            if (hold.State == ModelState.Active)
            {
                await room.RunOutAsync(hold.Id);
                _done.Add($"lapse {hold.Mg}");
                _lot.Lapse(hold);
            }
        }

        private async Task HandOverHoldAsync(ModelHold hold)
        {
            long? mg = random.Next(3) == 0 ? Mass(_lot.Free + hold.Mg) : null;
            bool whole = random.Next(4) == 0;
            Outcome<HandedOver> real = await room.TryHandOverAsync(new HandOverInput(hold.Id, Grams: mg / 1000m, WholeLot: whole));
            Agree($"hand over hold of {hold.Mg}, {mg?.ToString(CultureInfo.InvariantCulture) ?? "as held"}, whole {whole}", _lot.HandOver(hold, mg, whole), real);
            Took(real, hold.IsOthers);
        }

        private async Task HandOverAsync()
        {
            (bool other, bool whole) = (random.Next(2) == 0, random.Next(4) == 0);
            long mg = Mass(_lot.Free);
            Outcome<HandedOver> real = await room.TryHandOverAsync(new HandOverInput(LotCode: _lot.Code, MemberId: Member(other), Grams: mg / 1000m, WholeLot: whole));
            Agree($"hand over {mg}, whole {whole}", _lot.HandOver(mg, whole), real);
            Took(real, other);
        }

        private void Took(Outcome<HandedOver> real, bool other)
        {
            if (real.IsOk)
            {
                _lot.Checkouts.Add(new ModelCheckout(real.Value.Id, other, real.Value.Mg));
            }
        }

        private async Task TakeBackAsync(ModelCheckout checkout)
        {
            (bool looked, bool isAll) = (random.Next(2) == 0, random.Next(3) == 0);
            long mg = Mass(checkout.AtHome);
            Outcome<TakenBack> real = await room.TryTakeBackAsync(checkout.Id, new ReturnInput(mg / 1000m, looked ? [] : null, isAll));
            Agree($"take back {mg} of {checkout.AtHome}, looked {looked}, all {isAll}", _lot.TakeBack(checkout, mg, isAll), real);
            if (real.IsOk)
            {
                _lot.Lay(new ModelReturn(real.Value.Id, mg, looked));
            }
        }

        private async Task FinishAsync(ModelCheckout checkout)
        {
            (bool other, bool volunteer) = (random.Next(2) == 0, random.Next(3) == 0);
            Outcome<bool> real = await room.Guild.UseAsync<FinishCheckout, Outcome<bool>>(u => u.RunAsync(volunteer ? room.Volunteer : Member(other), checkout.Id, Cancellation));
            Agree($"finish {checkout.AtHome}", _lot.Finish(checkout, other, volunteer), real);
        }

        private Task InspectAsync(ModelReturn back) => InspectAsync(back, random.Next(3) > 0);

        private async Task InspectAsync(ModelReturn back, bool passed)
        {
            Outcome<InspectedReturn> real = await room.Guild.UseAsync<InspectReturn, Outcome<InspectedReturn>>(u => u.RunAsync(room.Volunteer, back.Id, new ReturnInspection(passed, "Looked at.", []), Cancellation));
            ModelReturn? waited = _lot.Asked;
            Agree($"inspect {back.Mg}, passed {passed}", _lot.Inspect(back, passed), real);
            bool asked = _lot.Asked != waited;
            Assert.True(!real.IsOk || (real.Value.ApprovalId is not null) == asked, $"The model and the books disagree about who is asked. {Story()}");
            _request = real.IsOk ? real.Value.ApprovalId ?? _request : _request;
            if (asked)
            {
                Count("asked");
            }
        }

        private Task DecideAsync() => DecideAsync(random.Next(3) > 0);

        private async Task DecideAsync(bool approved)
        {
            Outcome<Decided> real = await room.Guild.UseAsync<DecideApproval, Outcome<Decided>>(u => approved
                ? u.ApproveAsync(room.Coordinator, _request, null, null, Cancellation)
                : u.DeclineAsync(room.Coordinator, _request, "Look again.", Cancellation));
            Agree($"decide, approved {approved}", _lot.Decide(approved), real);
        }

        private async Task MoveAsync()
        {
            Outcome<MovedLots> real = await room.Guild.UseAsync<MoveLots, Outcome<MovedLots>>(u => u.RunAsync(room.Volunteer, bins[random.Next(2)], [_lot.Code], Cancellation));
            Agree("move", _lot.Move(), real);
        }

        private Guid Member(bool other) => other ? room.OtherMember : room.Member;

        private void Agree<T>(string command, string? expected, Outcome<T> real)
        {
            string? answered = real.IsOk ? null : real.Refusal.Rule;
            _done.Add($"{command}: {answered ?? "done"}");
            Count(answered ?? "done");

            Assert.True(expected == answered, $"The model says {expected ?? "done"}. {Story()}");
        }

        private void Count(string answer)
        {
            lock (answers)
            {
                answers[answer] = answers.GetValueOrDefault(answer) + 1;
            }
        }

        private async Task CompareAsync()
        {
            (long, long, long, bool, long) books = await room.AskAsync(async db =>
            {
                Lot lot = await db.Lots.AsNoTracking().SingleAsync(l => l.Id == _lotId, Cancellation);
                long home = await db.Checkouts.Where(c => c.LotId == _lotId).SumAsync(c => c.AtHomeMg, Cancellation);
                return (lot.OnHandMg, lot.HeldMg, lot.QuarantinedMg, lot.ClosedAt is not null, home);
            });
            (long, long, long, bool, long) model = (_lot.Shelf + _lot.Waiting, _lot.Promised + _lot.Untidied, _lot.Waiting, _lot.IsClosed, _lot.Checkouts.Sum(c => c.AtHome));
            Assert.True(model == books, $"On hand, promised, in quarantine, closed, at home: the model says {model}, the books {books}. {Story()}");
        }

        private string Story() => $"{name}: {string.Join("; ", _done)}";
    }
}
