using GuildStash.Data.Projects;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;
using static GuildStash.Web.Tests.Features.Kits.KitRoom;

namespace GuildStash.Web.Tests.Features.Kits;

/// <summary>Kits in members' hands, their pieces, and what those took.</summary>
public sealed class KitMakingTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Take_WhenNobodyMakesIt_IsTheFirstMembersAndNobodyElseSeesIt()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.KitAsync([(await room.Desk.LotAsync(150), 100)]);
        Assert.True((await room.LookAsync(kit.Number, room.Desk.OtherMember)).IsOpen);

        Ok(await TakeAsync(room, kit, room.Desk.Member));

        // A moment ago the other saw it too; a kit that never was is not there.
        Refuse.Rule("kit-is-taken", await TakeAsync(room, kit, room.Desk.OtherMember));
        Refuse.Rule("not-found", await room.UseAsync<TakeKit, bool>(u => u.RunAsync(room.Desk.OtherMember, Guid.CreateVersion7(), Cancellation)));
        Refuse.Rule("kit-is-taken", await TakeAsync(room, kit, room.Desk.Volunteer));
        Refuse.Rule("not-found", await room.SeeAsync(kit.Number, room.Desk.OtherMember));
        KitView mine = Assert.Single(Ok(await room.UseAsync<KitReader, PageOf<KitView>>(u => u.MineAsync(room.Desk.Member, new PageRequest(1), Cancellation))).Items);
        Assert.Equal((kit.Number, room.Desk.Member, false), (mine.Number, mine.MemberId, mine.IsOpen));
        Assert.Equal(0, Ok(await room.UseAsync<KitReader, PageOf<KitView>>(u => u.OpenAsync(room.Desk.OtherMember, new PageRequest(1), Cancellation))).Total);
    }

    [Fact]
    public async Task HandOverAtTheDesk_WhenNobodyMakesTheKit_IsRefusedAndElseStartsItOnce()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.KitAsync([(await room.Desk.LotAsync(150), 100), (await room.Desk.LotAsync(60), 30)], pieces: 3);

        Refuse.Rule("kit-is-nobodys", await room.Desk.TryHandOverAsync(new HandOverInput(kit.Lines[0].HoldId, Grams: 100)));
        Ok(await room.UseAsync<GiveKit, bool>(u => u.RunAsync(room.Desk.Volunteer, kit.Id, room.Desk.Member, Cancellation)));
        Ok(await room.Desk.TryHandOverAsync(new HandOverInput(kit.Lines[0].HoldId, Grams: 100)));
        Ok(await room.Desk.TryHandOverAsync(new HandOverInput(kit.Lines[1].HoldId, Grams: 30)));

        PieceRecord started = Assert.Single(await room.RecordsAsync());
        Assert.Equal((PieceStep.Started, 3, kit.Id, room.Desk.Member), (started.Step, started.Pieces, started.KitId!.Value, started.MakerId!.Value));
        Assert.Equal(KitState.AtHome, (await room.LookAsync(kit.Number)).State);
        Assert.Equal((0, 3), ((await room.ProgressAsync()).InKits, (await room.ProgressAsync()).InTheMaking));
        Refuse.Rule("kit-at-home", await room.UseAsync<GiveKit, bool>(u => u.RunAsync(room.Desk.Volunteer, kit.Id, room.Desk.OtherMember, Cancellation)));
    }

    [Fact]
    public async Task HandOver_WhenALineIsNotWeighed_NothingLeavesAndTheLineIsNamed()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        LotView blue = await room.Desk.LotAsync(150);
        LotView red = await room.Desk.LotAsync(60);
        KitView kit = await room.KitAsync([(blue, 100), (red, 30)]);
        Ok(await room.WeighAsync(kit.Lines[0], 99));

        Refuse.Rule("invalid-value", HandOverKit.FieldOf(kit.Lines[1].Id), await room.HandOverAsync(kit, room.Desk.Member));
        Assert.Equal(150_000, (await room.Desk.LookAsync(blue)).OnHandMg);
        Refuse.Rule("kit-is-nobodys", await room.HandOverAsync(kit, null, (kit.Lines[1], 31)));
        Refuse.Rule("not-enough-free", HandOverKit.FieldOf(kit.Lines[1].Id), await room.HandOverAsync(kit, room.Desk.Member, (kit.Lines[1], 90)));
        Assert.Equal(150_000, (await room.Desk.LookAsync(blue)).OnHandMg);
        Assert.Equal(2, Ok(await room.HandOverAsync(kit, room.Desk.Member, (kit.Lines[1], 31))));

        Assert.Equal([99_000, 31_000], (await room.LookAsync(kit.Number)).Lines.Select(l => l.TakenMg));
        Refuse.Rule("hold-ended", await room.HandOverAsync(kit, room.Desk.Member));
    }

    [Fact]
    public async Task Finish_WhenLeftoversComeBack_TheRecordHasTakenLessBroughtBack()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        LotView blue = await room.Desk.LotAsync(150);
        LotView red = await room.Desk.LotAsync(60);
        KitView kit = await room.AtHomeAsync([(blue, 100), (red, 30)], pieces: 3);

        FinishedKit first = Ok(await room.FinishAsync(kit, 1, false));
        Assert.Null(first.UsedMg);
        FinishedKit last = Ok(await room.FinishAsync(kit, 2, true, null, (kit.Lines[0], 12.5m)));

        Assert.Equal(100_000 - 12_500 + 30_000, last.UsedMg);
        List<PieceRecord> finished = [.. (await room.RecordsAsync()).Where(r => r.Step == PieceStep.Finished)];
        Assert.Equal([39_166, 78_334], finished.Select(r => r.UsedMg!.Value));
        Assert.Equal(87_500, await room.Desk.BalanceAsync(blue, PlaceKind.Project));
        Assert.Equal(KitState.Done, (await room.LookAsync(kit.Number)).State);
        Assert.Equal((3, 0), ((await room.ProgressAsync()).Finished, (await room.ProgressAsync()).InTheMaking));
    }

    [Fact]
    public async Task Finish_WhenTheDeskBooksTheReturn_TheRecordAgreesWithTheBooksAllTheSame()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.AtHomeAsync([(await room.Desk.LotAsync(150), 100)]);
        Ok(await room.FinishAsync(kit, 1, false, room.Desk.Member));
        Assert.Null(Assert.Single(await room.RecordsAsync(), r => r.Step == PieceStep.Finished).UsedMg);

        Ok(await room.Desk.TryTakeBackAsync(kit.Lines[0].CheckoutId!.Value, new ReturnInput(33, [], IsAll: true)));

        Assert.Equal(67_000, Assert.Single(await room.RecordsAsync(), r => r.Step == PieceStep.Finished).UsedMg);
    }

    [Fact]
    public async Task Finish_WhenAMemberDoesIt_TheirOwnKitOnlyAndNoLeftovers()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.AtHomeAsync([(await room.Desk.LotAsync(150), 100)]);

        Refuse.Rule("not-found", await room.FinishAsync(kit, 1, true, room.Desk.OtherMember));
        Refuse.Rule("not-allowed", await room.FinishAsync(kit, 1, true, room.Desk.Member, (kit.Lines[0], 10)));
        Refuse.Rule("invalid-value", "pieces", await room.FinishAsync(kit, 0, false, room.Desk.Member));
        Assert.Equal(100_000, Ok(await room.FinishAsync(kit, 1, true, room.Desk.Member)).UsedMg);
        Refuse.Rule("checkout-closed", HandOverKit.FieldOf(kit.Lines[0].Id), await room.FinishAsync(kit, 1, true, null, (kit.Lines[0], 10)));
    }

    [Fact]
    public async Task TakeBack_WhenAFinishedRecordWasWrong_TheOthersShareWhatWasUsed()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.AtHomeAsync([(await room.Desk.LotAsync(150), 100)], pieces: 4);
        Ok(await room.FinishAsync(kit, 1, false));
        Ok(await room.FinishAsync(kit, 3, true));
        PieceRecord wrong = (await room.RecordsAsync()).Single(r => r is { Step: PieceStep.Finished, Pieces: 3 });

        Ok(await room.TakeBackAsync(wrong.Id));

        List<PieceRecord> records = await room.RecordsAsync();
        Assert.Equal(100_000, records.Single(r => r is { Step: PieceStep.Finished, Pieces: 1 }).UsedMg);
        Assert.Equal((-3, wrong.Id), (records[^1].Pieces, records[^1].TakesBackId!.Value));
        Assert.Equal(1, (await room.ProgressAsync()).Finished);
        Refuse.Rule("taken-back", await room.TakeBackAsync(wrong.Id));
        Refuse.Rule("not-found", await room.TakeBackAsync(records[^1].Id));
    }

    [Fact]
    public async Task Record_WhenPiecesAreHandedOn_NeverMoreThanWereFinished()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);

        RecordedPieces made = Ok(await room.RecordAsync(PieceStep.Finished, 15, grams: 900));
        Assert.Equal((12, 15, 0), (made.Wanted, made.Finished, made.Delivered));
        Outcome<RecordedPieces> tooMany = await room.RecordAsync(PieceStep.Delivered, 16);
        Refuse.Rule("more-than-finished", "pieces", tooMany);
        Assert.Contains("15", tooMany.Refusals[0].ToString(), StringComparison.Ordinal);
        RecordedPieces given = Ok(await room.RecordAsync(PieceStep.Delivered, 10));

        Refuse.Rule("more-than-finished", await room.TakeBackAsync(made.Id));
        Ok(await room.TakeBackAsync(given.Id));
        Ok(await room.TakeBackAsync(made.Id));
        PieceProgress progress = await room.ProgressAsync();
        Assert.Equal((0, 0, 0, 12), (progress.Finished, progress.Delivered, progress.InTheMaking, progress.Missing));
    }

    [Fact]
    public async Task Record_WhenAMemberDoesIt_IsTheirOwnAndNotTheHandOver()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);

        RecordedPieces mine = Ok(await room.RecordAsync(PieceStep.Finished, 5, room.Desk.Member));

        Assert.Equal(room.Desk.Member, Assert.Single(await room.RecordsAsync()).MakerId);
        Refuse.Rule("not-allowed", await room.RecordAsync(PieceStep.Delivered, 1, room.Desk.Member));
        Refuse.Rule("not-found", await room.TakeBackAsync(mine.Id, room.Desk.OtherMember));
        Assert.Equal("", Assert.Single(await ListAsync(room, room.Desk.OtherMember)).Maker);
        Assert.NotEqual("", Assert.Single(await ListAsync(room, room.Desk.Volunteer)).Maker);
        Ok(await room.TakeBackAsync(mine.Id, room.Desk.Member));
        Assert.True(Assert.Single(await ListAsync(room, room.Desk.Volunteer)).IsTakenBack);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-1)]
    [InlineData(1001)]
    [InlineData(null)]
    public async Task Invalid_Numbers_AreRefused(int? pieces)
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);

        Refuse.Rule("invalid-value", "pieces", await room.RecordAsync(PieceStep.Finished, pieces));
    }

    [Fact]
    public async Task Progress_WhenMoreWasMadeElsewhere_DoesNotTakeKitsAtHomeForMade()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        await room.AtHomeAsync([(await room.Desk.LotAsync(150), 100)], pieces: 3);
        await room.KitAsync([(await room.Desk.LotAsync(150), 100)], pieces: 2);
        Ok(await room.RecordAsync(PieceStep.Finished, 5));
        Ok(await room.RecordAsync(PieceStep.Delivered, 4));

        PieceProgress progress = await room.ProgressAsync();

        Assert.Equal((2, 3, 5, 4, 1, 2), (progress.InKits, progress.InTheMaking, progress.Finished, progress.Delivered, progress.InHand, progress.Missing));
    }

    [Fact]
    public async Task OwnData_WhenKitsAreDone_TellsGramsAndMetresAgainstTheBook()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        await room.BookAsync();
        LotView lot = await room.Desk.LotAsync(1000);
        foreach (decimal left in (decimal[])[40, 30, 20])
        {
            KitView kit = await room.AtHomeAsync([(lot, 140)], pieces: 2);
            Ok(await room.FinishAsync(kit, 2, true, null, (kit.Lines[0], left)));
        }

        await room.AtHomeAsync([(lot, 140)]);
        Ok(await room.RecordAsync(PieceStep.Finished, 4, grams: 240));
        OwnPiece own = Ok(await room.UseAsync<OwnPieceReader, OwnPiece>(u => u.RunAsync(room.Desk.Member, room.Piece, Cancellation)));

        Assert.Equal((3, 10), (own.Kits, own.Pieces));
        Assert.Equal((4, 50, 60), (own.Grams!.Value.Count, own.Grams.Value.Least, own.Grams.Value.Most));
        OwnPart body = Assert.Single(own.Parts);
        double perGram = lot.MetresPer100gLikely!.Value / 100;
        Assert.Equal([50 * perGram, 55 * perGram, 60 * perGram], body.Metres.Select(m => Math.Round(m, 9)), (a, b) => Math.Abs(a - b) < 1e-6);
        Assert.Equal((70, 80), (body.Part!.Likely, body.Part.Safe));
        Assert.Equal(5 * perGram, body.Own!.Value.Spread, 1e-6);
        Refuse.Rule("not-found", await room.UseAsync<OwnPieceReader, OwnPiece>(u => u.RunAsync(room.Desk.Member, Guid.NewGuid(), Cancellation)));
    }

    [Fact]
    public async Task Leave_WhenNothingWentHome_ShowsTheKitToAllAgainAndElseRefuses()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.KitAsync([(await room.Desk.LotAsync(150), 100)]);
        Refuse.Rule("not-allowed", await LeaveAsync(room, kit, room.Desk.Member));
        Ok(await TakeAsync(room, kit, room.Desk.Member));
        Refuse.Rule("not-allowed", await LeaveAsync(room, kit, room.Desk.Volunteer));

        Ok(await LeaveAsync(room, kit, room.Desk.Member));

        Assert.True((await room.LookAsync(kit.Number, room.Desk.OtherMember)).IsOpen);
        Assert.Equal(0, Ok(await room.UseAsync<KitReader, PageOf<KitView>>(u => u.MineAsync(room.Desk.Member, new PageRequest(1), Cancellation))).Total);
        Ok(await TakeAsync(room, kit, room.Desk.OtherMember));
        Ok(await room.WeighAsync((await room.LookAsync(kit.Number)).Lines[0], 100));
        Ok(await room.HandOverAsync(await room.LookAsync(kit.Number)));
        Refuse.Rule("kit-at-home", await LeaveAsync(room, kit, room.Desk.OtherMember));
    }

    private static Task<Outcome<bool>> LeaveAsync(KitRoom room, KitView kit, Guid by) => room.UseAsync<LeaveKit, bool>(u => u.RunAsync(by, kit.Id, Cancellation));

    private static Task<Outcome<bool>> TakeAsync(KitRoom room, KitView kit, Guid by) => room.UseAsync<TakeKit, bool>(u => u.RunAsync(by, kit.Id, Cancellation));

    private static async Task<IReadOnlyList<PieceRecordView>> ListAsync(KitRoom room, Guid by) =>
        Ok(await room.UseAsync<ProgressReader, PageOf<PieceRecordView>>(u => u.RecordsAsync(by, room.Project, new PageRequest(1), Cancellation))).Items;
}
