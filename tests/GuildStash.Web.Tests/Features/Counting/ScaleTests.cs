using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Counting;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Counting;

/// <summary>The register of scales, and what a weighing keeps of the scale.</summary>
public sealed class ScaleTests(PostgresFixture postgres)
{
    private static readonly ScaleInput Verified = new("Counter scale", 2, 6000, true, null);

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static Task<Outcome<Guid>> TrySaveAsync(DeskRoom room, ScaleInput input, Guid? by = null) =>
        room.Guild.UseAsync<SaveScale, Outcome<Guid>>(u => u.RunAsync(by ?? room.Coordinator, null, 0, input, Cancellation));

    private static async Task<Guid> SaveAsync(DeskRoom room, ScaleInput input)
    {
        Outcome<Guid> saved = await TrySaveAsync(room, input);
        Assert.True(saved.IsOk, string.Join(" ", saved.Refusals));
        return saved.Value;
    }

    private static async Task<ScaleView> SeeAsync(DeskRoom room) =>
        Assert.Single(await room.Guild.DoAsync<ScaleReader, IReadOnlyList<ScaleView>>(u => u.AllAsync(room.Coordinator, Cancellation)));

    [Fact]
    public async Task Register_WhenAScaleIsChecked_ShowsWhetherItIsRight()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid scale = await SaveAsync(room, Verified);
        Assert.True((await SeeAsync(room)) is { CheckIsDue: true, LastCheck: null, DivisionMg: 2_000, CapacityMg: 6_000_000, IsVerified: true });

        Assert.True((await room.Guild.UseAsync<CheckScale, Outcome<bool>>(u => u.RunAsync(room.Coordinator, scale, 1000, 1002, Cancellation))).Value);
        Assert.False((await room.Guild.UseAsync<CheckScale, Outcome<bool>>(u => u.RunAsync(room.Coordinator, scale, 1000, 1002.1m, Cancellation))).Value);

        ScaleView view = await SeeAsync(room);
        Assert.Equal((1_002_100L, false, "Cora Coordinator", false), (view.LastCheck!.ShownMg, view.LastCheck.IsRight, view.LastCheck.By, view.CheckIsDue));
        await room.Guild.DoAsync<RetireScale, bool>(u => u.RunAsync(room.Coordinator, scale, true, Cancellation));
        Assert.Empty(await room.Guild.DoAsync<ScaleReader, IReadOnlyList<ScaleView>>(u => u.InUseAsync(room.Volunteer, Cancellation)));
        LotView lot = await room.LotAsync(200);
        Outcome<WeighedLot> retired = await room.Guild.UseAsync<WeighLot, Outcome<WeighedLot>>(u => u.RunAsync(room.Volunteer, lot.Id, 190, 2, scale, Cancellation));
        Assert.Equal("scaleId", retired.Refusal.Field);
    }

    [Fact]
    public async Task InvalidScale_WhenFieldsAreWrong_NamesThem()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await SaveAsync(room, Verified);

        Assert.Equal(["capacityGrams", "name"], (await TrySaveAsync(room, Verified with { CapacityGrams = 1 })).Refusals.Select(r => r.Field!).Order());
        Assert.Equal("divisionGrams", Assert.Single((await TrySaveAsync(room, new ScaleInput("Other", 0, null, false, null))).Refusals).Field);
        Assert.Equal(RefusalKind.Forbidden, (await TrySaveAsync(room, Verified with { Name = "Third" }, room.Volunteer)).Refusal.Kind);
        Outcome<bool> check = await room.Guild.UseAsync<CheckScale, Outcome<bool>>(u => u.RunAsync(room.Coordinator, Guid.Empty, null, null, Cancellation));
        Assert.Equal(["nominalGrams", "shownGrams"], check.Refusals.Select(r => r.Field!).Order());
    }

    [Fact]
    public async Task Lot_WhenEverythingWasWeighedOnAVerifiedScale_IsForTradeUntilSomethingWasNot()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid scale = await SaveAsync(room, Verified);
        LotView onScale = await room.LotAsync(200, l => l with { ScaleDivisionGrams = 2, ScaleId = scale });
        LotView corrected = await room.LotAsync(200, l => l with { ScaleDivisionGrams = 5, ScaleId = scale });
        LotView elsewhere = await room.LotAsync(200, l => l with { ScaleDivisionGrams = 1 });
        Assert.Equal([true, false, false], [onScale.WeighedForTrade, corrected.WeighedForTrade, elsewhere.WeighedForTrade]);

        await HandAsync(room, onScale, scale);
        Assert.True((await room.LookAsync(onScale)).WeighedForTrade);
        Assert.Equal(2_000, await room.AskAsync(db => db.Movements.Where(m => m.LotId == onScale.Id && m.CheckoutId != null).Select(m => m.ScaleDivisionMg).SingleAsync(Cancellation)));
        await HandAsync(room, onScale, null);
        Assert.False((await room.LookAsync(onScale)).WeighedForTrade);
    }

    private static async Task HandAsync(DeskRoom room, LotView lot, Guid? scale)
    {
        Outcome<HandedOver> given = await room.Guild.UseAsync<HandOverYarn, Outcome<HandedOver>>(
            u => u.RunAsync(room.Volunteer, new HandOverInput(LotCode: lot.Code, MemberId: room.Member, Grams: 20, WholeLot: false), scale, Cancellation));
        Assert.True(given.IsOk, string.Join(" ", given.Refusals));
    }
}
