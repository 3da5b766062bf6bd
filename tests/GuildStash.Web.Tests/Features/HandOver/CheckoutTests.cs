using GuildStash.Domain.Ledger;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.HandOver;

/// <summary>Yarn at a member's home: used up, more time, and who sees it.</summary>
public sealed class CheckoutTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task UseUp_WhenTakenForAProject_GoesIntoItsPieces()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        HandedOver taken = await room.TakenHomeAsync(lot, 60, await room.ProjectAsync());

        Assert.True((await FinishAsync(room, room.Member, taken.Id)).IsOk);

        Assert.Equal((60_000, 0), (await room.BalanceAsync(lot, PlaceKind.Project), await room.BalanceAsync(lot, PlaceKind.Member)));
        Refuse.Rule("checkout-closed", await FinishAsync(room, room.Member, taken.Id));
        Assert.Equal(0, (await MineAsync(room, room.Member)).Total);
    }

    [Fact]
    public async Task UseUp_WhenTakenForNoProject_StaysWithTheMember()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        HandedOver taken = await room.TakenHomeAsync(lot, 60);

        Assert.True((await FinishAsync(room, room.Member, taken.Id)).IsOk);

        Assert.Equal((60_000, 0), (await room.BalanceAsync(lot, PlaceKind.PassedOn), await room.BalanceAsync(lot, PlaceKind.Project)));
    }

    [Fact]
    public async Task UseUp_WhenItIsAnothersYarn_IsNotFoundForAMemberAndDoneByAVolunteer()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        HandedOver taken = await room.TakenHomeAsync(await room.LotAsync(100), 60);

        Refuse.Rule("not-found", await FinishAsync(room, room.OtherMember, taken.Id));
        Refuse.Rule("not-found", await ExtendAsync(room, room.OtherMember, taken.Id, Today.AddDays(5)));
        Assert.True((await ExtendAsync(room, room.Volunteer, taken.Id, Today.AddDays(5))).IsOk);
        Assert.True((await FinishAsync(room, room.Volunteer, taken.Id)).IsOk);
    }

    [Fact]
    public async Task Extend_WhenMoreTimeIsNeeded_MovesTheDayWithinTheLimits()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        HandedOver taken = await room.TakenHomeAsync(await room.LotAsync(100), 60);

        Assert.Equal(Today.AddDays(1), (await ExtendAsync(room, room.Member, taken.Id, Today.AddDays(1))).Value);
        Assert.Equal(Today.AddDays(730), (await ExtendAsync(room, room.Member, taken.Id, Today.AddDays(730))).Value);
        Assert.Equal(Today.AddDays(730), (await room.CheckoutRowAsync(taken.Id)).DueOn);
        foreach (DateOnly day in new[] { Today, Today.AddDays(-1), Today.AddDays(731), DateOnly.MinValue, DateOnly.MaxValue })
        {
            Refuse.Rule("invalid-value", "dueOn", await ExtendAsync(room, room.Member, taken.Id, day));
        }
    }

    [Fact]
    public async Task Read_WhenYarnIsPastItsDay_IsMarkedAndFoundByMemberLotAndProject()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        LotView otherLot = await room.LotAsync(100);
        HandedOver late = await room.TakenHomeAsync(lot, 60, await room.ProjectAsync("100 % warm_hats"));
        await room.HandOverAsync(new HandOverInput(LotCode: otherLot.Code, MemberId: room.OtherMember, Grams: 20));
        await room.OwnerSqlAsync($"update checkout set due_on = current_date - 2 where id = {late.Id}");

        PageOf<AtHome> all = await AllAsync(room, null, false);
        Assert.Equal([true, false], all.Items.Select(a => a.IsLate));
        Assert.Equal(late.Id, Assert.Single((await AllAsync(room, null, true)).Items).CheckoutId);
        foreach (string words in new[] { "mia", lot.Display, lot.Code.ToLowerInvariant()[..5], "100 % warm_", " MIA MEMBER " })
        {
            Assert.Equal(late.Id, Assert.Single((await AllAsync(room, words, false)).Items).CheckoutId);
        }

        Assert.Equal(0, (await AllAsync(room, "%", false)).Items.Count(a => a.ProjectName is null));
        Assert.Equal(0, (await AllAsync(room, "nobody", false)).Total);
        Assert.Equal(92.776991, all.Items[0].MetresLow!.Value / 0.9144, 6);
        Assert.Equal(late.Id, Assert.Single((await MineAsync(room, room.Member)).Items).CheckoutId);
        DeskCounts counts = await room.Guild.DoAsync<HandOverReader, DeskCounts>(u => u.CountsAsync(room.Volunteer, Cancellation));
        Assert.Equal(new DeskCounts(0, 2, 1, 0), counts);
    }

    [Fact]
    public async Task Find_WhenANameIsTyped_ShowsAtMostTwentyActivePeople()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        for (int i = 0; i < 22; i++)
        {
            await room.Guild.AddPersonAsync($"Nora Many {i:00}", $"nora{i}@example.org", Domain.People.Role.Member);
        }

        FoundPeople many = await FindAsync(room, "nora");
        Assert.Equal((20, true, "Nora Many 00"), (many.Items.Count, many.More, many.Items[0].Name));
        Assert.Equal(room.Member, Assert.Single((await FindAsync(room, " mia m")).Items).Id);
        Assert.Equal(room.Member, Assert.Single((await FindAsync(room, "member@ex")).Items).Id);
        Assert.Empty((await FindAsync(room, "%")).Items);
        Assert.Empty((await FindAsync(room, "")).Items);
        await room.DisableAsync(room.Member);
        Assert.Empty((await FindAsync(room, "mia")).Items);
    }

    private static DateOnly Today => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(DateTimeOffset.UtcNow, TimeZoneInfo.FindSystemTimeZoneById("Europe/London")).DateTime);

    private static Task<Outcome<bool>> FinishAsync(DeskRoom room, Guid by, Guid id) =>
        room.Guild.UseAsync<FinishCheckout, Outcome<bool>>(u => u.RunAsync(by, id, Cancellation));

    private static Task<Outcome<DateOnly>> ExtendAsync(DeskRoom room, Guid by, Guid id, DateOnly day) =>
        room.Guild.UseAsync<ExtendCheckout, Outcome<DateOnly>>(u => u.RunAsync(by, id, day, Cancellation));

    private static Task<PageOf<AtHome>> MineAsync(DeskRoom room, Guid by) =>
        room.Guild.DoAsync<HandOverReader, PageOf<AtHome>>(u => u.MyYarnAsync(by, new PageRequest(1), Cancellation));

    private static Task<PageOf<AtHome>> AllAsync(DeskRoom room, string? query, bool onlyLate) =>
        room.Guild.DoAsync<HandOverReader, PageOf<AtHome>>(u => u.AllAtHomeAsync(room.Volunteer, query, onlyLate, new PageRequest(1), Cancellation));

    private static Task<FoundPeople> FindAsync(DeskRoom room, string text) =>
        room.Guild.DoAsync<PeopleSearch, FoundPeople>(u => u.RunAsync(room.Volunteer, text, Cancellation));
}
