using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Kits;

/// <summary>A desk with a project that wants hats, and kits in one line each.</summary>
public sealed class KitRoom : IAsyncDisposable
{
    private KitRoom(DeskRoom desk) => Desk = desk;

    public DeskRoom Desk { get; }

    public Guid Project { get; private set; }

    /// <summary>Twelve hats of the project.</summary>
    public Guid Hats { get; private set; }

    /// <summary>The hat in the piece book, where <see cref="BookAsync"/> made one.</summary>
    public Guid Piece { get; private set; }

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    public static async Task<KitRoom> OpenAsync(PostgresFixture postgres, RecipientRules rules = RecipientRules.None)
    {
        KitRoom room = new(await DeskRoom.OpenAsync(postgres));
        room.Project = await room.Desk.Guild.DoAsync<CreateProject, Guid>(u => u.RunAsync(
            room.Desk.Coordinator, new ProjectInput { Name = "Winter hats", Rules = rules, Pieces = [new PieceInput("Hat", 12, "")] }, Cancellation));
        room.Hats = await room.Desk.AskAsync(db => db.WantedPieces.Where(w => w.ProjectId == room.Project).Select(w => w.Id).SingleAsync(Cancellation));
        return room;
    }

    /// <summary>A hat of one strand and one part in the piece book, which the project's hats are then made by.</summary>
    public async Task BookAsync(double low = 60, double likely = 70, double safe = 80)
    {
        Piece = Guid.CreateVersion7();
        Guid part = Guid.CreateVersion7();
        await Desk.OwnerSqlAsync($"insert into piece (id, name, craft, for_infants, notes, created_at, created_by_id, changed_at, changed_by_id, version) values ({Piece}, 'Hat', 'Knitted', false, '', now(), {Desk.Coordinator}, now(), {Desk.Coordinator}, 0)");
        await Desk.OwnerSqlAsync($"insert into piece_part (id, piece_id, position, name, metres_low, metres_likely, metres_safe, weight_classes, strands, colour, rules, only_fibres, max_lots, dye_lots_may_mix) values ({part}, {Piece}, 0, 'Body', {low}, {likely}, {safe}, '{{}}', 1, 'any', 0, '{{}}', 1, true)");
        await Desk.OwnerSqlAsync($"update wanted_piece set piece_id = {Piece} where id = {Hats}");
    }

    public Task<Outcome<MadeKit>> TryMakeAsync(KitInput input, Guid? by = null) => UseAsync<MakeKit, MadeKit>(u => u.RunAsync(by ?? Desk.Volunteer, input, Cancellation));

    /// <summary>A kit of hats from grams of lots, nobody's unless said otherwise.</summary>
    public async Task<KitView> KitAsync((LotView Lot, decimal Grams)[] yarn, int pieces = 1, Guid? member = null, int? days = null)
    {
        MadeKit made = Ok(await TryMakeAsync(new KitInput(Hats, null, pieces, [.. yarn.Select(y => new KitYarn(y.Lot.Code, null, y.Grams, null))], member, null, days)));
        return await LookAsync(made.Number);
    }

    /// <summary>A kit at the member's home, all of it weighed as planned.</summary>
    public async Task<KitView> AtHomeAsync((LotView Lot, decimal Grams)[] yarn, int pieces = 1)
    {
        KitView kit = await KitAsync(yarn, pieces, Desk.Member);
        foreach (KitLineView line in kit.Lines)
        {
            Ok(await WeighAsync(line, line.PlannedMg / 1000m));
        }

        Ok(await HandOverAsync(kit));
        return await LookAsync(kit.Number);
    }

    public async Task<KitView> LookAsync(string number, Guid? by = null) => Ok(await SeeAsync(number, by ?? Desk.Volunteer));

    public Task<Outcome<KitView>> SeeAsync(string number, Guid by) => UseAsync<KitReader, KitView>(u => u.OneAsync(by, number, Cancellation));

    public Task<Outcome<WeighedLine>> WeighAsync(KitLineView line, decimal? grams, Guid? scale = null, Guid? by = null) =>
        UseAsync<WeighKitLine, WeighedLine>(u => u.RunAsync(by ?? Desk.Volunteer, line.Id, grams, scale, Cancellation));

    public Task<Outcome<bool>> UnweighAsync(KitLineView line) => UseAsync<UnweighKitLine, bool>(u => u.RunAsync(Desk.Volunteer, line.Id, Cancellation));

    public Task<Outcome<int>> HandOverAsync(KitView kit, Guid? member = null, params (KitLineView Line, decimal Grams)[] grams) => UseAsync<HandOverKit, int>(u => u.RunAsync(
        Desk.Volunteer, kit.Id, new KitHandOverInput(member, grams.ToDictionary(g => g.Line.Id, g => (decimal?)g.Grams)), null, Cancellation));

    public Task<Outcome<FinishedKit>> FinishAsync(KitView kit, int? pieces, bool nothingLeft, Guid? by = null, params (KitLineView Line, decimal Grams)[] back) =>
        UseAsync<FinishKit, FinishedKit>(u => u.RunAsync(by ?? Desk.Volunteer, kit.Id, new FinishInput(pieces, null, back.ToDictionary(b => b.Line.Id, b => (decimal?)b.Grams), [], nothingLeft), null, Cancellation));

    public Task<Outcome<RecordedPieces>> RecordAsync(PieceStep step, int? pieces, Guid? by = null, decimal? grams = null) =>
        UseAsync<RecordPieces, RecordedPieces>(u => u.RunAsync(by ?? Desk.Volunteer, new PiecesInput(Hats, step, pieces, UsedGrams: grams), Cancellation));

    public Task<Outcome<bool>> TakeBackAsync(Guid record, Guid? by = null) => UseAsync<TakeBackPieces, bool>(u => u.RunAsync(by ?? Desk.Volunteer, record, Cancellation));

    public async Task<PieceProgress> ProgressAsync() =>
        Assert.Single(Ok(await UseAsync<ProgressReader, IReadOnlyList<PieceProgress>>(u => u.OfProjectAsync(Desk.Member, Project, Cancellation))));

    public Task<List<PieceRecord>> RecordsAsync() => Desk.AskAsync(db => db.PieceRecords.AsNoTracking().OrderBy(r => r.CreatedAt).ThenBy(r => r.Id).ToListAsync(Cancellation));

    public Task<Hold> HoldAsync(KitLineView line) => Desk.AskAsync(db => db.KitLines.Where(l => l.Id == line.Id).Select(l => l.Hold).AsNoTracking().SingleAsync(Cancellation));

    public Task<Outcome<T>> UseAsync<TUseCase, T>(Func<TUseCase, Task<Outcome<T>>> use)
        where TUseCase : notnull => Desk.Guild.UseAsync<TUseCase, Outcome<T>>(use);

    public static T Ok<T>(Outcome<T> outcome)
    {
        Assert.True(outcome.IsOk, string.Join(" ", outcome.Refusals));
        return outcome.Value;
    }

    public ValueTask DisposeAsync() => Desk.DisposeAsync();
}
