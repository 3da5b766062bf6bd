using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Features.Sorting;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Support;

/// <summary>A guild with a bag on the table: lots, projects, holds and hand-overs in one line each. Closing it audits the books.</summary>
public sealed class DeskRoom : IAsyncDisposable
{
    private readonly GuildRoom _room;
    private readonly Dictionary<string, Guid> _bags = [];

    private DeskRoom(GuildRoom room) => _room = room;

    public GuildRoom Guild => _room;

    public Guid Coordinator => _room.Coordinator;

    public Guid Volunteer => _room.Volunteer;

    public Guid Member => _room.Member;

    public Guid OtherMember => _room.OtherMember;

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    /// <param name="way">Another way to the same database, from its connection string.</param>
    public static async Task<DeskRoom> OpenAsync(PostgresFixture postgres, Func<string, string>? way = null) => new(await GuildRoom.OpenAsync(postgres, null, way));

    /// <summary>
    /// A lot of aran yarn, washable cotton by its band unless said otherwise, from a bag with the given conditions. 100 g of it hold at least
    /// 154.63 yd (computed): the trade's 170, less what cotton is denser than wool by docs/adr/0007-estimates.md.
    /// </summary>
    public async Task<LotView> LotAsync(decimal? grams = 150, Func<LotInput, LotInput>? with = null, params string[] conditions)
    {
        string key = string.Join(',', conditions);
        if (!_bags.TryGetValue(key, out Guid bag))
        {
            LoggedGift gift = await _room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(Volunteer, new GiftInput { Bags = [new BagInput(90_000, 0, conditions)] }, Cancellation));
            _bags[key] = bag = gift.Bags[0].Id;
        }

        LotInput input = new()
        {
            Grams = grams,
            MassUnknown = grams is null,
            WeightClass = WeightClass.Aran,
            ColourHex = "#4f6d8f",
            Fibres = [new FibreInput("CO", 100)],
            FibreBasis = FibreBasis.BandSeen,
            MachineWashable = Tristate.Yes,
            Softness = Softness.Soft,
        };
        return await _room.DoAsync<AddLot, LotView>(u => u.RunAsync(Volunteer, bag, with?.Invoke(input) ?? input, Cancellation));
    }

    public Task<Guid> ProjectAsync(string name = "Winter hats", RecipientRules rules = RecipientRules.None) =>
        _room.DoAsync<CreateProject, Guid>(u => u.RunAsync(Coordinator, new ProjectInput { Name = name, Rules = rules }, Cancellation));

    public Task<Outcome<PlacedRequest>> TryHoldAsync(Guid by, HoldInput input) =>
        _room.UseAsync<RequestHolds, Outcome<PlacedRequest>>(u => u.RunAsync(by, input, Cancellation));

    /// <summary>A hold that must succeed.</summary>
    public async Task<PlacedHold> HoldAsync(LotView lot, decimal? grams, double? metres = null, Guid? project = null, Guid? by = null)
    {
        Outcome<PlacedRequest> placed = await TryHoldAsync(by ?? Member, new HoldInput([new WantedYarn(lot.Code, grams, metres)], project));
        Assert.True(placed.IsOk, string.Join(" ", placed.Refusals));
        return placed.Value.Holds.Single();
    }

    public Task<Outcome<HandedOver>> TryHandOverAsync(HandOverInput input, Guid? by = null) =>
        _room.UseAsync<HandOverYarn, Outcome<HandedOver>>(u => u.RunAsync(by ?? Volunteer, input, Cancellation));

    /// <summary>A hand-over that must succeed.</summary>
    public async Task<HandedOver> HandOverAsync(HandOverInput input)
    {
        Outcome<HandedOver> taken = await TryHandOverAsync(input);
        Assert.True(taken.IsOk, string.Join(" ", taken.Refusals));
        return taken.Value;
    }

    /// <summary>Yarn in the member's hands without a hold.</summary>
    public Task<HandedOver> TakenHomeAsync(LotView lot, decimal grams, Guid? project = null) =>
        HandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: Member, ProjectId: project, Grams: grams));

    public Task<Outcome<TakenBack>> TryTakeBackAsync(Guid checkout, ReturnInput input, Guid? by = null) =>
        _room.UseAsync<TakeBack, Outcome<TakenBack>>(u => u.RunAsync(by ?? Volunteer, checkout, input, Cancellation));

    public async Task<LotView> LookAsync(LotView lot) =>
        await _room.DoAsync<InventoryReader, LotView>(u => u.LotAsync(Volunteer, lot.Code, Cancellation));

    /// <summary>Lets a hold's time run out by the database's clock, with the owner's rights: no use case can.</summary>
    public async Task RunOutAsync(Guid hold)
    {
        await using GuildDbContext db = _room.Look();
        Assert.Equal(1, await db.Database.ExecuteSqlAsync($"update hold set expires_at = now() - interval '1 second' where id = {hold}", Cancellation));
    }

    public async Task<int> OwnerSqlAsync(FormattableString sql)
    {
        await using GuildDbContext db = _room.Look();
        return await db.Database.ExecuteSqlAsync(sql, Cancellation);
    }

    /// <summary>Disables an account as an administrator would.</summary>
    public Task DisableAsync(Guid person) => OwnerSqlAsync($"update person set disabled_at = now() where id = {person}");

    public async Task<T> AskAsync<T>(Func<GuildDbContext, Task<T>> question)
    {
        await using GuildDbContext db = _room.Look();
        return await question(db);
    }

    public Task<Hold> HoldRowAsync(Guid hold) => AskAsync(db => db.Holds.AsNoTracking().SingleAsync(h => h.Id == hold, Cancellation));

    public Task<Checkout> CheckoutRowAsync(Guid checkout) => AskAsync(db => db.Checkouts.AsNoTracking().SingleAsync(c => c.Id == checkout, Cancellation));

    /// <summary>Milligrams that the movements took to a kind of place, less what they took from it.</summary>
    public Task<long> BalanceAsync(LotView lot, Domain.Ledger.PlaceKind kind) => AskAsync(async db =>
        await db.Movements.Where(m => m.LotId == lot.Id && m.ToKind == kind).SumAsync(m => m.Mg, Cancellation)
        - await db.Movements.Where(m => m.LotId == lot.Id && m.FromKind == kind).SumAsync(m => m.Mg, Cancellation));

    public async ValueTask DisposeAsync()
    {
        try
        {
            await using GuildDbContext db = _room.Look();
            await Books.AssertCleanAsync(db, CancellationToken.None);
        }
        finally
        {
            await _room.DisposeAsync();
        }
    }
}
