using System.Globalization;
using GuildStash.Data;
using GuildStash.Data.Intake;
using GuildStash.Data.Ledger;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Quarantine;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Npgsql;
using Xunit;

namespace GuildStash.Web.Tests.Features.Quarantine;

/// <summary>Freezer runs, releases and smells, on a real database.</summary>
public sealed class QuarantineProtocolTests(PostgresFixture postgres)
{
    private static readonly DateTimeOffset In = DateTimeOffset.UtcNow.AddDays(-10);
    private static readonly FreezerResultInput Good = new(In.AddDays(8), -25, -21.5m, false, In.AddDays(9), "Looked through over white paper, nothing seen.", false);

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static async Task<LotView> ApartAsync(DeskRoom room, params string[] found)
    {
        LotView lot = await room.LotAsync(200);
        await room.Guild.DoAsync<QuarantineLot, bool>(u => u.RunAsync(room.Volunteer, lot.Id, "Lay beside larvae.", null, found, Cancellation));
        await room.OwnerSqlAsync($"update lot set quarantined_at = {In.AddDays(-1)} where id = {lot.Id}");
        return lot;
    }

    private static Task<Outcome<Guid>> TryFreezeAsync(DeskRoom room, LotView lot) =>
        room.Guild.UseAsync<StartFreezerRun, Outcome<Guid>>(u => u.RunAsync(room.Volunteer, new FreezerRunInput("cellar", In, [], [lot.Id]), Cancellation));

    private static Task<Outcome<FinishedRun>> TryFinishAsync(DeskRoom room, Guid run, FreezerResultInput result) =>
        room.Guild.UseAsync<FinishFreezerRun, Outcome<FinishedRun>>(u => u.RunAsync(room.Volunteer, run, result, Cancellation));

    private static Task<Outcome<AskedRelease>> TryReleaseAsync(DeskRoom room, LotView lot) =>
        room.Guild.UseAsync<AskRelease, Outcome<AskedRelease>>(u => u.RunAsync(room.Volunteer, new InspectionInput(null, lot.Id, null, "Nothing seen."), Cancellation));

    [Fact]
    public async Task Release_AfterARunBelowProtocolThenAGoodOne_TakesInspectionAndSecondPerson()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await ApartAsync(room);
        Refuse.Rule("treatment-or-time-first", await TryReleaseAsync(room, lot));

        Guid poor = (await TryFreezeAsync(room, lot)).Value;
        Refuse.Rule("in-freezer", await TryReleaseAsync(room, lot));
        Refuse.Rule("in-freezer", "loads", await TryFreezeAsync(room, lot));
        FinishedRun below = (await TryFinishAsync(room, poor, Good with { WarmestCelsius = -18 })).Value;
        Assert.False(below.MeetsProtocol);
        Refuse.Rule("treatment-or-time-first", await TryReleaseAsync(room, lot));
        Refuse.Rule("run-finished", await TryFinishAsync(room, poor, Good));

        Guid good = (await TryFreezeAsync(room, lot)).Value;
        Assert.True((await TryFinishAsync(room, good, Good)).Value.MeetsProtocol);
        Assert.Equal(200_000, (await room.LookAsync(lot)).QuarantinedMg);
        AskedRelease asked = (await TryReleaseAsync(room, lot)).Value;
        Assert.True((await room.LookAsync(lot)) is { QuarantinedMg: 200_000, AwaitsSecondPerson: true });
        await room.Guild.DoAsync<DecideApproval, Decided>(u => u.ApproveAsync(room.Coordinator, asked.ApprovalId, "", null, Cancellation));

        Assert.True((await room.LookAsync(lot)) is { QuarantinedMg: 0, QuarantineReason: null, FreeMg: 200_000 });
        FreezerDesk desk = await room.Guild.DoAsync<FreezerReader, FreezerDesk>(u => u.RunAsync(room.Volunteer, new PageRequest(), Cancellation));
        Assert.Equal([true, false], desk.Runs.Items.Select(r => r.MeetsProtocol).OfType<bool>().OrderDescending());
        Assert.Contains("−18 °C", Assert.Single(desk.Runs.Items.Single(r => r.MeetsProtocol == false).Why).ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Release_OfAPartThatWasSplitOff_CountsTheRunsThatItWasIn()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await ApartAsync(room);
        LotView early = await SplitAsync(room, lot, 20);
        await TryFinishAsync(room, (await TryFreezeAsync(room, lot)).Value, Good with { WarmestCelsius = -18 });
        LotView below = await SplitAsync(room, lot, 20);
        await TryFinishAsync(room, (await TryFreezeAsync(room, lot)).Value, Good);
        LotView late = await SplitAsync(room, lot, 60);
        LotView crumb = await SplitAsync(room, late, 10);

        Refuse.Rule("treatment-or-time-first", await TryReleaseAsync(room, early));
        Refuse.Rule("treatment-or-time-first", await TryReleaseAsync(room, below));
        Assert.All([(await TryReleaseAsync(room, late)), await TryReleaseAsync(room, crumb), await TryReleaseAsync(room, lot)], asked => Assert.True(asked.IsOk, string.Join(" ", asked.Refusals)));
    }

    /// <summary>The bag went into the freezer while the lot that was sorted out of it lay elsewhere; a part of that lot is no younger.</summary>
    [Fact]
    public async Task Release_OfAPartOfALotThatTheBagsRunMissed_DoesNotCountIt()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await room.OwnerSqlAsync($"update guild set quarantine_policy = 'EveryBag'");
        LotView lot = await room.LotAsync(200);
        await room.OwnerSqlAsync($"update lot set quarantine_reason = null, created_at = {In.AddDays(-2)} where id = {lot.Id}");
        Guid run = await room.Guild.DoAsync<StartFreezerRun, Guid>(u => u.RunAsync(room.Volunteer, new FreezerRunInput(null, In, [lot.BagId], []), Cancellation));
        await room.OwnerSqlAsync($"update lot set quarantine_reason = 'Policy', quarantined_at = {In.AddDays(-1)} where id = {lot.Id}");
        Assert.True((await TryFinishAsync(room, run, Good)).Value.MeetsProtocol);
        LotView part = await SplitAsync(room, lot, 20);

        Refuse.Rule("treatment-or-time-first", await TryReleaseAsync(room, lot));
        Refuse.Rule("treatment-or-time-first", await TryReleaseAsync(room, part));
    }

    private static Task<LotView> SplitAsync(DeskRoom room, LotView lot, decimal grams) =>
        room.Guild.DoAsync<SplitLot, LotView>(u => u.RunAsync(room.Volunteer, lot.Id, new SplitInput(grams, null), Cancellation));

    [Fact]
    public async Task Release_WhenTheRunWasBeforeTheQuarantine_DoesNotCount()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await ApartAsync(room);
        await TryFinishAsync(room, (await TryFreezeAsync(room, lot)).Value, Good);
        await room.OwnerSqlAsync($"update lot set quarantined_at = {In.AddHours(1)} where id = {lot.Id}");

        Refuse.Rule("treatment-or-time-first", await TryReleaseAsync(room, lot));

        await room.OwnerSqlAsync($"update lot set quarantined_at = now() - interval '31 days' where id = {lot.Id}");
        Assert.True((await TryReleaseAsync(room, lot)).IsOk);
    }

    [Fact]
    public async Task Finish_WhenInsectsAreSeen_ShutsEverythingAndItIsDiscardedAtOnce()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await ApartAsync(room);
        await TryFinishAsync(room, (await TryFreezeAsync(room, lot)).Value, Good with { SignsSeen = true });

        Refuse.Rule("stays-shut", await TryReleaseAsync(room, lot));
        Refuse.Rule("stays-shut", "loads", await TryFreezeAsync(room, lot));
        WroteOff gone = await room.Guild.DoAsync<WriteOffLot, WroteOff>(u => u.RunAsync(room.Volunteer, lot.Id, new WriteOffInput(null, Domain.Approvals.WriteOffTo.Waste, "Larvae."), Cancellation));

        Assert.Null(gone.ApprovalId);
        Assert.Equal(200_000, await room.BalanceAsync(lot, PlaceKind.Waste));
        Assert.Equal(LotStatus.Closed, (await room.LookAsync(lot)).Status);
        Assert.All(await room.AskAsync(db => BookAudit.RunAsync(db, Cancellation)), line => Assert.Empty(line.Faults));
    }

    /// <summary>To the warmer tenth: -19.96 is not -20.0, and what is exactly the protocol's meets it.</summary>
    [Theory]
    [InlineData("-19.96", "-19.9", false)]
    [InlineData("-19.91", "-19.9", false)]
    [InlineData("-20.0", "-20.0", true)]
    [InlineData("-20.04", "-20.0", true)]
    [InlineData("-20.09", "-20.0", true)]
    public async Task Finish_WhenAReadingHasHundredths_KeepsTheWarmerTenth(string read, string kept, bool meets)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await ApartAsync(room);
        Guid run = (await TryFreezeAsync(room, lot)).Value;

        FinishedRun finished = (await TryFinishAsync(room, run, Good with { ColdestCelsius = -25.06m, WarmestCelsius = decimal.Parse(read, CultureInfo.InvariantCulture) })).Value;

        Assert.Equal(meets, finished.MeetsProtocol);
        Data.Quarantine.FreezerRun row = await room.AskAsync(db => db.FreezerRuns.AsNoTracking().SingleAsync(Cancellation));
        Assert.Equal((-25.0m, decimal.Parse(kept, CultureInfo.InvariantCulture)), (row.ColdestCelsius!.Value, row.WarmestCelsius!.Value));
    }

    /// <summary>A figure that can't be multiplied by ten is refused like any that can't be.</summary>
    [Fact]
    public async Task InvalidReading_WhenItIsEnormous_IsRefusedWithItsField()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await ApartAsync(room);

        Refuse.Rule("invalid-value", "warmest", await TryFinishAsync(room, (await TryFreezeAsync(room, lot)).Value, Good with { WarmestCelsius = decimal.MaxValue }));
    }

    /// <summary>The bag was only damp before; from now on everybody reads why it stays shut.</summary>
    [Fact]
    public async Task Finish_WhenInsectsAreSeenInABag_GivesThemAsItsReason()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid damp = await room.Guild.BagAsync(500, "damp");
        Guid closed = await room.Guild.BagAsync(500, "damp");
        Guid run = await room.Guild.DoAsync<StartFreezerRun, Guid>(u => u.RunAsync(room.Volunteer, new FreezerRunInput(null, In, [damp, closed], []), Cancellation));
        await room.OwnerSqlAsync($"update bag set quarantined_at = {In.AddDays(-1)}");
        await room.Guild.DoAsync<CloseBag, ClosedBag>(u => u.RunAsync(room.Volunteer, closed, Cancellation));

        await TryFinishAsync(room, run, Good with { SignsSeen = true });

        Bag[] bags = await room.AskAsync(db => db.Bags.AsNoTracking().Where(b => b.Id == damp || b.Id == closed).ToArrayAsync(Cancellation));
        Bag shut = bags.Single(b => b.Id == damp);
        Assert.Equal((QuarantineReason.SignsOfInsects, Conditions.Damp | Conditions.Insects), (shut.QuarantineReason!.Value, shut.Conditions));
        Assert.Equal(In.AddDays(-1), shut.QuarantinedAt!.Value, TimeSpan.FromMilliseconds(1));
        Bag gone = bags.Single(b => b.Id == closed);
        Assert.Equal((QuarantineReason.Damp, Conditions.Damp), (gone.QuarantineReason!.Value, gone.Conditions));
    }

    /// <summary>The part was in the freezer and the lot it came from was not: put together again, nobody could tell what was treated.</summary>
    [Fact]
    public async Task UndoSplit_WhenThePartWasInTheFreezer_IsRefused()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await ApartAsync(room);
        LotView frozen = await SplitAsync(room, lot, 20);
        LotView other = await SplitAsync(room, lot, 30);
        await TryFinishAsync(room, (await TryFreezeAsync(room, frozen)).Value, Good);

        Refuse.Rule("lot-in-use", await room.Guild.UseAsync<UndoSplit, Outcome<LotView>>(u => u.RunAsync(room.Volunteer, frozen.Id, Cancellation)));
        Assert.True((await room.Guild.UseAsync<UndoSplit, Outcome<LotView>>(u => u.RunAsync(room.Volunteer, other.Id, Cancellation))).IsOk);
        Assert.Equal((20_000L, 180_000L), ((await room.LookAsync(frozen)).OnHandMg, (await room.LookAsync(lot)).OnHandMg));
    }

    [Fact]
    public async Task Mothball_OnceNoted_BarsInfantProjectsWhateverIsEditedLater()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid infants = await room.ProjectAsync("Tiny hats", RecipientRules.InfantOrHospital);
        LotView lot = await room.LotAsync(200);
        HandedOver home = await room.TakenHomeAsync(lot, 50);
        TakenBack back = (await room.TryTakeBackAsync(home.Id, new ReturnInput(40, ["mothball"]))).Value;
        await room.Guild.DoAsync<InspectReturn, InspectedReturn>(u => u.RunAsync(room.Volunteer, back.Id, new ReturnInspection(true, "Aired for a month.", []), Cancellation));

        Refuse.Rule("no-mothball", await room.TryHoldAsync(room.Member, new HoldInput([new WantedYarn(lot.Code, 20, null)], infants)));
        Refuse.Rule("mothball-for-good", await room.Guild.UseAsync<NoteOnLot, Outcome<bool>>(u => u.RunAsync(room.Volunteer, lot.Id, ["smoke"], ["mothball"], Cancellation)));
        Assert.True((await room.Guild.UseAsync<NoteOnLot, Outcome<bool>>(u => u.RunAsync(room.Volunteer, lot.Id, ["smoke"], ["perfume"], Cancellation))).IsOk);
        Assert.Equal(Conditions.Mothball | Conditions.Smoke, (await room.LookAsync(lot)).Conditions);

        await using GuildDbContext db = room.Guild.Look();
        PostgresException refused = await Assert.ThrowsAsync<PostgresException>(() => db.Lots.ExecuteUpdateAsync(l => l.SetProperty(x => x.Conditions, Conditions.None), Cancellation));
        Assert.Equal(PostgresErrorCodes.RestrictViolation, refused.SqlState);
    }

    [Fact]
    public async Task InvalidClaim_OfATreatment_IsRefusedByTheDatabase()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await ApartAsync(room);
        await TryFinishAsync(room, (await TryFreezeAsync(room, lot)).Value, Good with { WarmestCelsius = -18 });

        await using GuildDbContext db = room.Guild.Look();
        PostgresException refused = await Assert.ThrowsAsync<PostgresException>(() => db.FreezerRuns.ExecuteUpdateAsync(r => r.SetProperty(x => x.MeetsProtocol, true), Cancellation));
        Assert.Equal("freezer_run_meets_what_it_says", refused.ConstraintName);
    }

    [Fact]
    public async Task Candidates_OfBagsAndLots_HaveAnimalFibreFirstAndNothingThatStaysShut()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView cotton = await ApartAsync(room);
        await room.OwnerSqlAsync($"update guild set quarantine_policy = 'AnimalAndUnknownFibre'");
        LotView wool = await room.LotAsync(100, l => l with { Fibres = [new Web.Features.Sorting.FibreInput("WO", 100)] });
        LotView unknown = await room.LotAsync(100, l => l with { Fibres = [] });
        Guid damp = await room.Guild.BagAsync(500, "damp");
        await room.Guild.BagAsync(500, "insects");

        FreezerDesk desk = await room.Guild.DoAsync<FreezerReader, FreezerDesk>(u => u.RunAsync(room.Volunteer, new PageRequest(), Cancellation));

        Assert.Equal([wool.Id, unknown.Id, damp, cotton.Id], desk.Candidates.Select(c => c.Id));

        await room.Guild.DoAsync<StartFreezerRun, Guid>(u => u.RunAsync(room.Volunteer, new FreezerRunInput(null, null, [damp], []), Cancellation));
        FreezerDesk running = await room.Guild.DoAsync<FreezerReader, FreezerDesk>(u => u.RunAsync(room.Volunteer, new PageRequest(), Cancellation));
        Assert.EndsWith("/1", Assert.Single(Assert.Single(running.Runs.Items).Things), StringComparison.Ordinal);
        Assert.DoesNotContain(running.Candidates, c => c.Id == damp);
    }
}
