using GuildStash.Data;
using GuildStash.Data.People;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Drafts;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Drafts;

/// <summary>Drafts on a real database: whose they are, and when they go.</summary>
public sealed class DraftTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static Task<DateTimeOffset> SaveAsync(GuildRoom room, Guid by, string form, string state) =>
        room.DoAsync<SaveDraft, DateTimeOffset>(u => u.RunAsync(by, form, 1, state, Cancellation));

    private static Task<KeptDraft?> ReadAsync(GuildRoom room, Guid by, string form, int version = 1) =>
        room.DoAsync<ReadDraft, KeptDraft?>(u => u.RunAsync(by, form, version, Cancellation));

    private static async Task<int> CountAsync(GuildRoom room)
    {
        await using GuildDbContext db = room.Look();
        return await db.Drafts.CountAsync(Cancellation);
    }

    [Fact]
    public async Task Save_WhenSavedAgain_ReplacesWhatWasKeptForThisPersonAndForm()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        DateTimeOffset first = await SaveAsync(room, room.Volunteer, DraftKeys.Gift, """{"Notes":"on"}""");
        DateTimeOffset second = await SaveAsync(room, room.Volunteer, DraftKeys.Gift, """{"Notes":"one blue"}""");
        await SaveAsync(room, room.Coordinator, DraftKeys.Gift, """{"Notes":"hers"}""");
        await SaveAsync(room, room.Volunteer, DraftKeys.Ball(Guid.CreateVersion7()), """{"Notes":"a ball"}""");

        KeptDraft? kept = await ReadAsync(room, room.Volunteer, DraftKeys.Gift);

        Assert.True(second > first);
        Assert.Equal(("""{"Notes": "one blue"}""", second), (kept!.State, kept.SavedAt));
        Assert.Equal("""{"Notes": "hers"}""", (await ReadAsync(room, room.Coordinator, DraftKeys.Gift))!.State);
        Assert.Equal(3, await CountAsync(room));
    }

    [Fact]
    public async Task Read_WhenTheDraftIsAnothersAnotherVersionOrOld_FindsNone()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await SaveAsync(room, room.Volunteer, DraftKeys.Gift, "{}");

        Assert.NotNull(await ReadAsync(room, room.Volunteer, DraftKeys.Gift));
        Assert.Null(await ReadAsync(room, room.Coordinator, DraftKeys.Gift));
        Assert.Null(await ReadAsync(room, room.Volunteer, DraftKeys.Gift, version: 2));
        await AgeAsync(room, DraftKeys.Gift, Draft.KeptFor + TimeSpan.FromMinutes(1));
        Assert.Null(await ReadAsync(room, room.Volunteer, DraftKeys.Gift));
    }

    [Fact]
    public async Task Invalid_WhatIsNoDraft_IsRefusedWithASentence()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Task<Outcome<DateTimeOffset>> Try(Guid by, string form, string state) =>
            room.UseAsync<SaveDraft, Outcome<DateTimeOffset>>(u => u.RunAsync(by, form, 1, state, Cancellation));
        string full = $$"""{"Notes":"{{new string('a', SaveDraft.MostBytes - 12)}}"}""";

        Assert.Equal(SaveDraft.MostBytes, full.Length);
        Assert.True((await Try(room.Volunteer, DraftKeys.Gift, full)).IsOk);
        Refusal tooLong = Refuse.Only(await Try(room.Volunteer, DraftKeys.Gift, full + " "));
        Assert.Equal("What is typed here takes 65537 bytes; up to 65536 are kept until it is saved. Save it now, or shorten the notes.", tooLong.ToString());
        Refuse.Rule("invalid-value", "draft", await Try(room.Volunteer, DraftKeys.Gift, "a ball"));
        Refuse.Rule("invalid-value", "form", await Try(room.Volunteer, "", "{}"));
        Refuse.Rule("not-allowed", await Try(room.Member, DraftKeys.Gift, "{}"));
    }

    [Fact]
    public async Task Discard_WhenThrownAway_TakesThePersonsOwnOnly()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await SaveAsync(room, room.Volunteer, DraftKeys.Gift, "{}");
        await SaveAsync(room, room.Coordinator, DraftKeys.Gift, "{}");

        Assert.True(await room.DoAsync<DiscardDraft, bool>(u => u.RunAsync(room.Volunteer, DraftKeys.Gift, Cancellation)));
        Assert.False(await room.DoAsync<DiscardDraft, bool>(u => u.RunAsync(room.Volunteer, DraftKeys.Gift, Cancellation)));

        Assert.Null(await ReadAsync(room, room.Volunteer, DraftKeys.Gift));
        Assert.NotNull(await ReadAsync(room, room.Coordinator, DraftKeys.Gift));
    }

    [Fact]
    public async Task Submit_WhenTheGiftIsRefused_KeepsItsDraftUntilItIsLogged()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await SaveAsync(room, room.Volunteer, DraftKeys.Gift, "{}");
        await SaveAsync(room, room.Coordinator, DraftKeys.Gift, "{}");
        Task<Outcome<LoggedGift>> Log(decimal tare, string? draftOf) =>
            room.UseAsync<LogGift, Outcome<LoggedGift>>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(560, tare, [])] }, draftOf, Cancellation));

        Assert.False((await Log(600, DraftKeys.Gift)).IsOk);
        Assert.True((await Log(40, null)).IsOk);
        Assert.NotNull(await ReadAsync(room, room.Volunteer, DraftKeys.Gift));
        Assert.True((await Log(40, DraftKeys.Gift)).IsOk);

        Assert.Null(await ReadAsync(room, room.Volunteer, DraftKeys.Gift));
        Assert.NotNull(await ReadAsync(room, room.Coordinator, DraftKeys.Gift));
    }

    [Fact]
    public async Task Submit_WhenTheTransactionFails_TheDraftStays()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await SaveAsync(room, room.Volunteer, DraftKeys.Gift, "{}");
        await using (GuildDbContext db = room.Look())
        {
            await db.Database.ExecuteSqlRawAsync(
                """
                create function fail_late() returns trigger language plpgsql as $$ begin raise exception 'too late'; end $$;
                create constraint trigger fail_late after insert on donation deferrable initially deferred for each row execute function fail_late();
                """, Cancellation);
        }

        await Assert.ThrowsAnyAsync<Exception>(() => room.UseAsync<LogGift, Outcome<LoggedGift>>(u =>
            u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(560, 40, [])] }, DraftKeys.Gift, Cancellation)));

        Assert.NotNull(await ReadAsync(room, room.Volunteer, DraftKeys.Gift));
    }

    [Fact]
    public async Task Submit_WhenABallIsAddedOrCorrected_ItsDraftGoesWithIt()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(560, 40, [])] }, Cancellation));
        Guid bag = gift.Bags[0].Id;
        string key = DraftKeys.Ball(bag);
        await SaveAsync(room, room.Volunteer, key, "{}");

        Assert.False((await room.UseAsync<AddLot, Outcome<LotView>>(u => u.RunAsync(room.Volunteer, bag, new LotInput(), key, Cancellation))).IsOk);
        Assert.NotNull(await ReadAsync(room, room.Volunteer, key));
        LotView lot = await room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, bag, new LotInput { Grams = 96 }, key, Cancellation));
        Assert.Null(await ReadAsync(room, room.Volunteer, key));

        await SaveAsync(room, room.Volunteer, key, "{}");
        Assert.False((await room.UseAsync<EditLot, Outcome<LotView>>(u => u.RunAsync(room.Volunteer, lot.Id, lot.Version + 1, new LotInput(), key, Cancellation))).IsOk);
        Assert.NotNull(await ReadAsync(room, room.Volunteer, key));
        await room.DoAsync<EditLot, LotView>(u => u.RunAsync(room.Volunteer, lot.Id, lot.Version, new LotInput(), key, Cancellation));
        Assert.Null(await ReadAsync(room, room.Volunteer, key));
    }

    [Fact]
    public async Task Tidy_WhenDraftsAreTooOld_ThrowsOnlyThoseAway()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await SaveAsync(room, room.Volunteer, "old", "{}");
        await SaveAsync(room, room.Volunteer, "nearly", "{}");
        await SaveAsync(room, room.Volunteer, "fresh", "{}");
        await AgeAsync(room, "old", Draft.KeptFor + TimeSpan.FromHours(1));
        await AgeAsync(room, "nearly", Draft.KeptFor - TimeSpan.FromHours(1));

        Assert.Equal(1, await room.UseAsync<IDbContextFactory<GuildDbContext>, int>(contexts => OldDraftsJob.TidyAsync(contexts, Cancellation)));

        await using GuildDbContext db = room.Look();
        Assert.Equal(["fresh", "nearly"], await db.Drafts.Select(d => d.Form).Order().ToListAsync(Cancellation));
    }

    private static async Task AgeAsync(GuildRoom room, string form, TimeSpan age)
    {
        await using GuildDbContext db = room.Look();
        await db.Drafts.Where(d => d.Form == form).ExecuteUpdateAsync(d => d.SetProperty(x => x.SavedAt, DateTimeOffset.UtcNow - age), Cancellation);
    }
}
