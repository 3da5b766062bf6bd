using GuildStash.Data.People;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Inventory;

/// <summary>Saved filters on a real database: whose they are, their names, and how many.</summary>
public sealed class SavedFilterTests(PostgresFixture postgres)
{
    private static readonly LotFilterAddress Socks = new() { Class = "fingering", Fibre = "WO", Washable = "yes", Metres = "350", DyeLot = "A7 45&b", Query = "100 % wool" };

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Save_WhenReadAgain_IsThePersonsOwnByName()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await SavedAsync(room, room.Member, "yarn for Socks", Socks);
        await SavedAsync(room, room.Member, "  Blue   baby\tblankets ", new LotFilterAddress { Colour = "blue" });
        await SavedAsync(room, room.OtherMember, "Yarn for socks", new LotFilterAddress { Class = "dk" });

        IReadOnlyList<SavedFilterView> kept = await ReadAsync(room, room.Member);

        Assert.Equal(["Blue baby blankets", "yarn for Socks"], kept.Select(f => f.Name));
        Assert.Equal(Socks, kept[1].Filters);
        Assert.Equal("dk", Assert.Single(await ReadAsync(room, room.OtherMember)).Filters.Class);
    }

    [Theory]
    [InlineData("", "This is needed. Fill it in.")]
    [InlineData("   ", "This is needed. Fill it in.")]
    [InlineData("a name that is far too long to be read on a chip of a phone's page", "This text has 66 characters; at most 60 fit. Shorten it.")]
    [InlineData("BLUES", "You have a saved filter “Blues” already. Choose another name.")]
    [InlineData("ÄPFEL", "You have a saved filter “äpfel” already. Choose another name.")]
    public async Task InvalidNames_WhenSavedOrRenamed_AreRefusedInASentence(string name, string sentence)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await SavedAsync(room, room.Member, "Blues", new LotFilterAddress { Colour = "blue" });
        await SavedAsync(room, room.Member, "äpfel", new LotFilterAddress { Colour = "red" });
        SavedFilterView other = await SavedAsync(room, room.Member, "Greens", new LotFilterAddress { Colour = "green" });

        foreach (Outcome<SavedFilterView> outcome in new[] { await TrySaveAsync(room, room.Member, name, Socks), await TryRenameAsync(room, room.Member, other.Id, name) })
        {
            Refusal refusal = Refuse.Only(outcome);
            Assert.Equal(("name", sentence), (refusal.Field, refusal.ToString()));
        }

        Assert.Equal(["äpfel", "Blues", "Greens"], (await ReadAsync(room, room.Member)).Select(f => f.Name));
    }

    [Fact]
    public async Task Invalid_WhenNoFilterIsSetOrTheyAreTooLong_IsRefused()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        string fits = new('w', SavedFilter.LongestQuery - "q=".Length);

        Assert.Equal("No filter is set. Set at least one filter, then save.", Refuse.Only(await TrySaveAsync(room, room.Member, "Nothing", new LotFilterAddress { Query = " " })).ToString());
        Assert.StartsWith("These filters take 1001 characters; up to 1000 can be saved.", Refuse.Only(await TrySaveAsync(room, room.Member, "Long", new LotFilterAddress { Query = fits + "w" })).ToString(), StringComparison.Ordinal);
        await SavedAsync(room, room.Member, "Long", new LotFilterAddress { Query = fits });
    }

    [Fact]
    public async Task Extreme_WhenManyWindowsSaveTheThirtieth_OnlyOneIsKept()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        for (int i = 1; i < SaveFilter.Most; i++)
        {
            await SavedAsync(room, room.Member, $"Filter {i}", new LotFilterAddress { Query = $"{i}" });
        }

        Outcome<SavedFilterView>[] all = await Task.WhenAll(Enumerable.Range(1, 12).Select(window => TrySaveAsync(room, room.Member, $"Window {window}", Socks)));

        Assert.Single(all, outcome => outcome.IsOk);
        Assert.All(all.Where(outcome => !outcome.IsOk), outcome => Assert.Equal(
            ("too-many-filters", "You keep 30 saved filters; up to 30 are possible. Delete one that you don't need any more."), (Refuse.Only(outcome).Rule, Refuse.Only(outcome).ToString())));
        Assert.Equal(SaveFilter.Most, (await ReadAsync(room, room.Member)).Count);
        await SavedAsync(room, room.OtherMember, "Mine", Socks);
    }

    [Fact]
    public async Task Rename_WhenOnlyTheCaseChanges_IsNoClashWithItself()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        SavedFilterView saved = await SavedAsync(room, room.Member, "blues", Socks);

        Outcome<SavedFilterView> renamed = await TryRenameAsync(room, room.Member, saved.Id, "Blues");

        Assert.Equal(("Blues", Socks), (renamed.Value.Name, renamed.Value.Filters));
        Assert.Equal("Blues", Assert.Single(await ReadAsync(room, room.Member)).Name);
    }

    [Fact]
    public async Task Change_WhenItIsAnothersOrGone_DoesNothing()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        SavedFilterView saved = await SavedAsync(room, room.Member, "Blues", Socks);

        Refuse.Rule("not-found", await TryRenameAsync(room, room.OtherMember, saved.Id, "Mine now"));
        Assert.False(await DeleteAsync(room, room.OtherMember, saved.Id));
        Assert.Equal("Blues", Assert.Single(await ReadAsync(room, room.Member)).Name);
        Assert.True(await DeleteAsync(room, room.Member, saved.Id));
        Assert.False(await DeleteAsync(room, room.Member, saved.Id));
        Refuse.Rule("not-found", await TryRenameAsync(room, room.Member, saved.Id, "Again"));
        Assert.Empty(await ReadAsync(room, room.Member));
    }

    [Fact]
    public async Task Read_WhenThereAreMany_AsksTheDatabaseOnce()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        for (int i = 0; i < 5; i++)
        {
            await SavedAsync(room, room.Member, $"Filter {i}", Socks);
        }

        using SqlCount sql = new();
        await ReadAsync(room, room.Member);
        Assert.Equal(2, sql.Commands.Count);
    }

    [Fact]
    public void RoundtripQuery_OfEveryFilter_IsTheSameAgain()
    {
        LotFilterAddress all = Socks with { Colour = "unknown", Bin = "K7M-S", Status = "shelves", Age = "over-365" };

        Assert.Equal(all, LotFilterAddress.OfQuery(all.ToQuery()));
        Assert.Equal(new LotFilterAddress(), LotFilterAddress.OfQuery(new LotFilterAddress().ToQuery()));
        Assert.Equal(new LotFilterAddress { Class = "dk" }, LotFilterAddress.OfQuery("?class=dk&view=table&page=3"));
    }

    private static Task<SavedFilterView> SavedAsync(GuildRoom room, Guid by, string name, LotFilterAddress filters) =>
        room.DoAsync<SaveFilter, SavedFilterView>(u => u.RunAsync(by, name, filters, Cancellation));

    private static Task<Outcome<SavedFilterView>> TrySaveAsync(GuildRoom room, Guid by, string name, LotFilterAddress filters) =>
        room.UseAsync<SaveFilter, Outcome<SavedFilterView>>(u => u.RunAsync(by, name, filters, Cancellation));

    private static Task<Outcome<SavedFilterView>> TryRenameAsync(GuildRoom room, Guid by, Guid id, string name) =>
        room.UseAsync<RenameFilter, Outcome<SavedFilterView>>(u => u.RunAsync(by, id, name, Cancellation));

    private static Task<bool> DeleteAsync(GuildRoom room, Guid by, Guid id) =>
        room.DoAsync<DeleteFilter, bool>(u => u.RunAsync(by, id, Cancellation));

    private static Task<IReadOnlyList<SavedFilterView>> ReadAsync(GuildRoom room, Guid by) =>
        room.DoAsync<SavedFilterReader, IReadOnlyList<SavedFilterView>>(u => u.RunAsync(by, Cancellation));
}
