using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.HandOver;

/// <summary>Each use case asks the database who the person is now, whatever the page or the cookie says.</summary>
public sealed class DeskRightsTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Act_WhenTheRoleIsTooLow_IsRefusedByEveryUseCase()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        Guid project = await room.ProjectAsync();
        PlacedHold hold = await room.HoldAsync(lot, 10);
        HandedOver taken = await room.TakenHomeAsync(lot, 20);
        TakenBack back = (await room.TryTakeBackAsync(taken.Id, new ReturnInput(5))).Value;
        PageRequest page = new(1);

        Refused(await room.TryHandOverAsync(new HandOverInput(hold.Id, Grams: 10), room.Member),
            await room.TryHandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: room.Member, Grams: 1), room.Member));
        Refused(await room.TryTakeBackAsync(taken.Id, new ReturnInput(5, []), room.Member));
        await RefusedAsync<InspectReturn, InspectedReturn>(room, room.Member, (u, by) => u.RunAsync(by, back.Id, new ReturnInspection(true, ""), Cancellation));
        await RefusedAsync<HandOverReader, PageOf<WaitingRequest>>(room, room.Member, (u, by) => u.WaitingAsync(by, page, Cancellation));
        await RefusedAsync<HandOverReader, PageOf<AtHome>>(room, room.Member, (u, by) => u.AllAtHomeAsync(by, null, false, page, Cancellation));
        await RefusedAsync<HandOverReader, PageOf<WaitingReturn>>(room, room.Member, (u, by) => u.ReturnsAsync(by, page, Cancellation));
        await RefusedAsync<HandOverReader, DeskCounts>(room, room.Member, (u, by) => u.CountsAsync(by, Cancellation));
        await RefusedAsync<PeopleSearch, FoundPeople>(room, room.Member, (u, by) => u.RunAsync(by, "mia", Cancellation));
        await RefusedAsync<PeopleSearch, FoundPerson>(room, room.Member, (u, by) => u.OneAsync(by, room.Member, Cancellation));
        await RefusedAsync<CreateProject, Guid>(room, room.Volunteer, (u, by) => u.RunAsync(by, new ProjectInput { Name = "Mine" }, Cancellation));
        await RefusedAsync<EditProject, bool>(room, room.Volunteer, (u, by) => u.RunAsync(by, project, 0, new ProjectInput { Name = "Mine" }, Cancellation));
        await RefusedAsync<CloseProject, bool>(room, room.Volunteer, (u, by) => u.RunAsync(by, project, true, Cancellation));
        Assert.Equal(10_000, (await room.LookAsync(lot)).HeldMg);
    }

    [Fact]
    public async Task Act_WhenNobodyIsSignedIn_IsRefused()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);

        Refused(await room.TryHoldAsync(Guid.Empty, new HoldInput([new(lot.Code, 10, null)])));
        await RefusedAsync<HandOverReader, PageOf<AtHome>>(room, Guid.Empty, (u, by) => u.MyYarnAsync(by, new PageRequest(1), Cancellation));
        await RefusedAsync<ProjectReader, PageOf<ProjectView>>(room, Guid.Empty, (u, by) => u.ListAsync(by, false, new PageRequest(1), Cancellation));
    }

    [Fact]
    public async Task Act_WhenTheAccountIsDisabledMidWay_StopsAtTheNextAct()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        PlacedHold first = await room.HoldAsync(lot, 10, by: room.OtherMember);
        PlacedHold second = await room.HoldAsync(lot, 10, by: room.OtherMember);
        Guid helper = await room.Guild.AddPersonAsync("Hal Helper", "helper@example.org", Role.Volunteer);
        Assert.True((await room.TryHandOverAsync(new HandOverInput(first.Id, Grams: 10), helper)).IsOk);

        await room.DisableAsync(helper);

        Refused(await room.TryHandOverAsync(new HandOverInput(second.Id, Grams: 10), helper));
        await RefusedAsync<CancelHold, bool>(room, helper, (u, by) => u.RunAsync(by, second.Id, Cancellation));
        Assert.Equal(10_000, (await room.LookAsync(lot)).HeldMg);
    }

    [Fact]
    public async Task Act_WhenTheRoleIsTakenAwayMidWay_StopsAtTheNextAct()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        await room.OwnerSqlAsync($"update person set role = 'Member' where id = {room.Coordinator}");

        Refused(await room.TryHandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: room.Member, Grams: 1), room.Coordinator));
        Refused(await room.TryHoldAsync(room.Coordinator, new HoldInput([new(lot.Code, 10, null)], MemberId: room.Member)));
    }

    [Fact]
    public async Task Read_WhenAMemberLooksAtARequest_SeesOnesOwnOnly()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        PlacedRequest request = (await room.TryHoldAsync(room.Member, new HoldInput([new(lot.Code, 10, null)]))).Value;

        Task<Outcome<WaitingRequest>> Look(Guid by) => room.Guild.UseAsync<HandOverReader, Outcome<WaitingRequest>>(u => u.RequestAsync(by, request.Id, Cancellation));
        Assert.Equal(request.Number, (await Look(room.Member)).Value.Number);
        Assert.Equal(request.Number, (await Look(room.Volunteer)).Value.Number);
        Refuse.Rule("not-found", await Look(room.OtherMember));
    }

    private static void Refused<T>(params Outcome<T>[] outcomes) => Assert.All(outcomes, o => Refuse.Rule("not-allowed", o));

    private static async Task RefusedAsync<TUseCase, T>(DeskRoom room, Guid by, Func<TUseCase, Guid, Task<Outcome<T>>> act)
        where TUseCase : notnull =>
        Refuse.Rule("not-allowed", await room.Guild.UseAsync<TUseCase, Outcome<T>>(u => act(u, by)));
}
