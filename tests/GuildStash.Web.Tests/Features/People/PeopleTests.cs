using GuildStash.Data.People;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.People;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.People;

/// <summary>Roles, switched-off accounts and the list of people.</summary>
public sealed class PeopleTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Change_WhenItWouldLeaveNoAdministrator_IsRefused()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        Outcome<Role> lowered = await room.UseAsync<ChangeRole, Outcome<Role>>(u => u.RunAsync(room.Administrator, room.Administrator, Role.Member, Cancellation));
        Outcome<DisabledPerson> off = await room.UseAsync<DisablePerson, Outcome<DisabledPerson>>(u => u.RunAsync(room.Administrator, room.Administrator, Cancellation));

        Assert.Equal(("last-administrator", "last-administrator"), (lowered.Refusal.Rule, off.Refusal.Rule));
    }

    [Fact]
    public async Task Change_WhenAnotherAdministratorIsSwitchedOff_TheyDoNotCount()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid second = await room.AddPersonAsync("Second Administrator", "second@example.org", Role.Administrator);
        await room.DoAsync<DisablePerson, DisabledPerson>(u => u.RunAsync(room.Administrator, second, Cancellation));

        Outcome<Role> lowered = await room.UseAsync<ChangeRole, Outcome<Role>>(u => u.RunAsync(room.Administrator, room.Administrator, Role.Member, Cancellation));

        Assert.Equal("last-administrator", lowered.Refusal.Rule);
    }

    [Fact]
    public async Task Change_WhenAdministratorsTakeTheRightFromEachOtherAtOnce_OneStays()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        for (int round = 0; round < 5; round++)
        {
            Guid second = await room.AddPersonAsync("Second Administrator", $"second{round}@example.org", Role.Administrator);

            await Task.WhenAll(
                room.UseAsync<DisablePerson, Outcome<DisabledPerson>>(u => u.RunAsync(room.Administrator, second, Cancellation)),
                room.UseAsync<ChangeRole, Outcome<Role>>(u => u.RunAsync(second, room.Administrator, Role.Member, Cancellation)),
                room.UseAsync<DisablePerson, Outcome<DisabledPerson>>(u => u.RunAsync(second, second, Cancellation)),
                room.UseAsync<ChangeRole, Outcome<Role>>(u => u.RunAsync(room.Administrator, room.Administrator, Role.Volunteer, Cancellation)));

            await using var db = room.Look();
            Assert.Equal(1, await db.People.CountAsync(p => p.Role == Role.Administrator && p.DisabledAt == null, Cancellation));
            await db.People.Where(p => p.Role == Role.Administrator).ExecuteUpdateAsync(set => set.SetProperty(p => p.Role, Role.Member), Cancellation);
            await db.People.Where(p => p.Id == room.Administrator).ExecuteUpdateAsync(
                set => set.SetProperty(p => p.Role, Role.Administrator).SetProperty(p => p.DisabledAt, (DateTimeOffset?)null), Cancellation);
        }
    }

    [Fact]
    public async Task Disable_WhenYarnIsPromised_ListsItAndCancelsNothing()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LotView lot = await AddLotAsync(room);
        PlacedRequest request = await room.DoAsync<RequestHolds, PlacedRequest>(u => u.RunAsync(room.Member, new HoldInput([new WantedYarn(lot.Display, 60, null)]), Cancellation));

        DisabledPerson left = await room.DoAsync<DisablePerson, DisabledPerson>(u => u.RunAsync(room.Administrator, room.Member, Cancellation));

        OpenHold hold = Assert.Single(left.Holds);
        Assert.Equal((request.Number, lot.Display, 60_000, 1), (hold.RequestNumber, hold.Lot, hold.Mg, left.HoldCount));
        Assert.Equal(60_000, (await room.DoAsync<InventoryReader, LotView>(u => u.LotAsync(room.Volunteer, lot.Code, Cancellation))).HeldMg);
    }

    [Fact]
    public async Task Disable_WhenDone_ChangesTheSecurityStampAndRevokesTokens()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await using var db = room.Look();
        string? stamp = await db.People.Where(p => p.Id == room.Member).Select(p => p.SecurityStamp).SingleAsync(Cancellation);
        db.ApiTokens.Add(new ApiToken { PersonId = room.Member, Name = "scale", SecretHash = new byte[32], CreatedAt = DateTimeOffset.UtcNow, ExpiresAt = DateTimeOffset.UtcNow.AddDays(1) });
        await db.SaveChangesAsync(Cancellation);

        await room.DoAsync<DisablePerson, DisabledPerson>(u => u.RunAsync(room.Administrator, room.Member, Cancellation));

        Assert.NotEqual(stamp, await db.People.Where(p => p.Id == room.Member).Select(p => p.SecurityStamp).SingleAsync(Cancellation));
        Assert.NotNull(await db.ApiTokens.Select(t => t.RevokedAt).SingleAsync(Cancellation));
        await room.DoAsync<EnablePerson, string>(u => u.RunAsync(room.Administrator, room.Member, Cancellation));
        Assert.NotNull(await db.ApiTokens.Select(t => t.RevokedAt).SingleAsync(Cancellation));
        Assert.True((await room.UseAsync<OwnPreferencesReader, Outcome<PreferencesView>>(u => u.RunAsync(room.Member, Cancellation))).IsOk);
    }

    [Theory]
    [InlineData("vera", 1)]
    [InlineData("EXAMPLE.ORG", 5)]
    [InlineData("%", 0)]
    [InlineData("_", 0)]
    [InlineData(@"\", 0)]
    [InlineData("  ", 5)]
    public async Task Search_WhenAPartOfNameOrAddressIsTyped_FindsWhoHasIt(string search, int expected)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        PageOf<PersonView> found = await room.DoAsync<PeopleReader, PageOf<PersonView>>(u => u.ListAsync(room.Coordinator, new PeopleFilter(search), new PageRequest(), Cancellation));

        Assert.Equal(expected, found.Total);
    }

    [Fact]
    public async Task List_WhenPaged_PutsSwitchedOffAccountsLast()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await room.DoAsync<DisablePerson, DisabledPerson>(u => u.RunAsync(room.Administrator, room.Coordinator, Cancellation));

        PageOf<PersonView> last = await room.DoAsync<PeopleReader, PageOf<PersonView>>(u => u.ListAsync(room.Administrator, new PeopleFilter(), new PageRequest(3, 2), Cancellation));
        PageOf<PersonView> active = await room.DoAsync<PeopleReader, PageOf<PersonView>>(u => u.ListAsync(room.Administrator, new PeopleFilter(null, WithDisabled: false), new PageRequest(), Cancellation));

        Assert.Equal((5, "Cora Coordinator", false), (last.Total, Assert.Single(last.Items).Name, last.Items[0].IsActive));
        Assert.Equal(4, active.Total);
    }

    [Theory]
    [InlineData("", "en-GB", LengthUnit.Metres, "name")]
    [InlineData("Mia\u0007", "en-GB", LengthUnit.Metres, "name")]
    [InlineData("Mia", "tlh", LengthUnit.Metres, "culture")]
    [InlineData("Mia", "en-GB", (LengthUnit)7, "lengthUnit")]
    public async Task InvalidPreferences_AreRefusedAtTheirField(string name, string culture, LengthUnit unit, string field)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        Outcome<bool> refused = await room.UseAsync<SaveOwnPreferences, Outcome<bool>>(u => u.RunAsync(room.Member, new PreferencesInput(name, culture, unit, Theme.Dark), Cancellation));

        Assert.Equal(field, Assert.Single(refused.Refusals).Field);
    }

    private static async Task<LotView> AddLotAsync(GuildRoom room)
    {
        LoggedGift gift = await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(1000, 50, [])] }, Cancellation));
        return await room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, gift.Bags[0].Id,
            new LotInput { Grams = 150, WeightClass = WeightClass.Aran, ColourHex = "#4f6d8f", Fibres = [new FibreInput("WO", 100)], FibreBasis = FibreBasis.BandSeen }, Cancellation));
    }
}
