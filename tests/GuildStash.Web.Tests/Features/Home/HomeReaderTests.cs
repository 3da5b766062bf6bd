using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Home;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.People;
using GuildStash.Web.Features.Pieces;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Home;

/// <summary>What the start page lists for whom.</summary>
public sealed class HomeReaderTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Read_WhenAVolunteer_ListsWhatWaitsInTheRoomInTwoQueries()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(500);
        Guid project = await room.ProjectAsync();
        Guid request = (await room.HoldRowAsync((await room.HoldAsync(lot, 60, project: project)).Id)).RequestId;
        HandedOver taken = await room.TakenHomeAsync(lot, 40);
        HandedOver returned = await room.TakenHomeAsync(lot, 30);
        await room.TryTakeBackAsync(returned.Id, new ReturnInput(20, null));
        await room.OwnerSqlAsync($"update checkout set due_on = current_date - 3 where id = {taken.Id}");
        await room.LotAsync(50, null, "damp");
        using SqlCount sql = new();

        HomeView home = await ReadAsync(room, room.Volunteer);

        Assert.Equal(3, sql.Commands.Count);
        Assert.Equal(
            [HomeSection.Sort, HomeSection.Inspect, HomeSection.Returns, HomeSection.Prepare, HomeSection.Late], home.Lists.Where(l => l.Section != HomeSection.Projects).Select(l => l.Section));
        HomeEntry prepare = Assert.Single(List(home, HomeSection.Prepare).Rows);
        Assert.Equal((request, "Mia Member", "Winter hats", 60_000, 1), (prepare.Id, prepare.Name, prepare.About, prepare.Mg, prepare.Number));
        HomeEntry late = Assert.Single(List(home, HomeSection.Late).Rows, r => r.Id == taken.Id);
        Assert.Equal(("Mia Member", lot.Code, 40_000, home.Today.AddDays(-3)), (late.Name, late.Code, late.Mg, late.Day));
        Assert.Equal(20_000, Assert.Single(List(home, HomeSection.Returns).Rows).Mg);
        Assert.Equal(nameof(QuarantineReason.Damp), Assert.Single(List(home, HomeSection.Inspect).Rows).About);
    }

    [Fact]
    public async Task Read_WhenAMember_ListsOnlyTheirOwnAndTheProjects()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(500);
        await room.ProjectAsync();
        Guid mine = (await room.HoldAsync(lot, 60)).Id;
        Guid others = (await room.HoldAsync(lot, 50, by: room.OtherMember)).Id;
        HandedOver taken = await room.TakenHomeAsync(lot, 40);
        await room.OwnerSqlAsync($"update hold set expires_at = now() + interval '2 days'");
        await room.OwnerSqlAsync($"update checkout set due_on = current_date + 6");

        HomeView member = await ReadAsync(room, room.Member);
        HomeView other = await ReadAsync(room, room.OtherMember);

        Assert.Equal([HomeSection.MyHolds, HomeSection.MyYarn, HomeSection.Projects], member.Lists.Select(l => l.Section));
        Assert.Equal((await room.HoldRowAsync(mine)).RequestId, Assert.Single(List(member, HomeSection.MyHolds).Rows).Id);
        Assert.Equal(taken.Id, Assert.Single(List(member, HomeSection.MyYarn).Rows).Id);
        Assert.Equal((await room.HoldRowAsync(others)).RequestId, Assert.Single(List(other, HomeSection.MyHolds).Rows).Id);
        Assert.DoesNotContain(other.Lists, l => l.Section == HomeSection.MyYarn);
    }

    [Fact]
    public async Task Read_WhenNothingIsNear_ListsNoOwnYarnAndNoHold()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(500);
        await room.HoldAsync(lot, 60);
        HandedOver taken = await room.TakenHomeAsync(lot, 40);
        await room.OwnerSqlAsync($"update checkout set due_on = current_date + 9 where id = {taken.Id}");

        Assert.Empty((await ReadAsync(room, room.Member)).Lists);
        HomeView volunteer = await ReadAsync(room, room.Volunteer);
        Assert.DoesNotContain(volunteer.Lists, l => l.Section is HomeSection.Lapsing or HomeSection.Late);
        Assert.Contains(volunteer.Lists, l => l.Section == HomeSection.Prepare);
    }

    [Fact]
    public async Task Read_WhenManyWait_ShowsTheOldestFiveAndCountsAll()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        foreach (int bags in (int[])[4, 3])
        {
            await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [.. Enumerable.Repeat(new BagInput(1000, 50, []), bags)] }, Cancellation));
        }

        HomeExcerpt sort = List(await room.DoAsync<HomeReader, HomeView>(u => u.RunAsync(room.Volunteer, Cancellation)), HomeSection.Sort);

        Assert.Equal(7, sort.Total);
        Assert.Equal(["0001/1", "0001/2", "0001/3", "0001/4", "0002/1"], sort.Rows.Select(r => r.Code[^6..]));
    }

    [Fact]
    public async Task Read_WhenLotsAreKeptApartForTheirFibre_ListsTheirBagOnce()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await using (var db = room.Look())
        {
            await db.Guilds.ExecuteUpdateAsync(g => g.SetProperty(x => x.QuarantinePolicy, QuarantinePolicy.AnimalAndUnknownFibre), Cancellation);
        }

        LoggedGift gift = await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(1000, 50, [])] }, Cancellation));
        foreach (string fibre in (string[])["WO", "WM", "CO"])
        {
            await room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, gift.Bags[0].Id, new LotInput { Grams = 100, Fibres = [new FibreInput(fibre, 100)] }, Cancellation));
        }

        HomeEntry apart = Assert.Single(List(await room.DoAsync<HomeReader, HomeView>(u => u.RunAsync(room.Volunteer, Cancellation)), HomeSection.LotsApart).Rows);

        Assert.Equal((gift.Id, 2, 200_000), (apart.Id, apart.Number, apart.Mg));
    }

    /// <summary>Each step leaves the list when it is done, all of them once a bag was sorted to its end; volunteers are not asked.</summary>
    [Fact]
    public async Task Read_WhenTheRoomIsNew_ListsTheFirstStepsUntilTheyAreDone()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        async Task<IEnumerable<string>> StepsAsync(Guid by) =>
            (await room.DoAsync<HomeReader, HomeView>(u => u.RunAsync(by, Cancellation))).Lists.Where(l => l.Section == HomeSection.FirstSteps).SelectMany(l => l.Rows).Select(r => r.About);
        Assert.Equal(["Bins", "Labels", "Pieces"], await StepsAsync(room.Coordinator));
        Assert.Empty(await StepsAsync(room.Volunteer));
        Assert.Empty(await StepsAsync(room.Member));

        await room.DoAsync<CreateBin, BinView>(u => u.RunAsync(room.Coordinator, new BinInput("Shelf", Data.Stock.BinKind.Shelf, null, null, null, null), Cancellation));
        Assert.Equal(["Labels", "Pieces"], await StepsAsync(room.Administrator));
        LoggedGift gift = await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(100, 0, [])] }, Cancellation));
        await room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, gift.Bags[0].Id, new LotInput { Grams = 100 }, Cancellation));
        Assert.Equal(["Pieces"], await StepsAsync(room.Coordinator));
        await room.DoAsync<CloseBag, ClosedBag>(u => u.RunAsync(room.Volunteer, gift.Bags[0].Id, Cancellation));

        Assert.Empty(await StepsAsync(room.Coordinator));
    }

    [Fact]
    public async Task Read_WhenAnAdministratorIsAlone_ListsInvitingUntilSomebodyIsAsked()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await using (GuildDbContext db = room.Look())
        {
            await db.Users.Where(p => p.Id != room.Administrator).ExecuteDeleteAsync(Cancellation);
        }

        HomeExcerpt steps = (await room.DoAsync<HomeReader, HomeView>(u => u.RunAsync(room.Administrator, Cancellation))).Lists[0];
        Assert.Equal((HomeSection.FirstSteps, "Bins Labels People Pieces"), (steps.Section, string.Join(' ', steps.Rows.Select(r => r.About))));
        await room.DoAsync<InvitePerson, NewInvitation>(u => u.RunAsync(room.Administrator, new InvitationInput(Role.Member), Cancellation));

        Assert.DoesNotContain((await room.DoAsync<HomeReader, HomeView>(u => u.RunAsync(room.Administrator, Cancellation))).Lists[0].Rows, r => r.About == "People");
    }

    [Fact]
    public async Task Read_WhenAnAdministrator_ListsInvitationsThatHoldAndACoordinatorDoesNot()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        NewInvitation open = await room.DoAsync<InvitePerson, NewInvitation>(u => u.RunAsync(room.Administrator, new InvitationInput(Role.Member, "Nora"), Cancellation));
        NewInvitation withdrawn = await room.DoAsync<InvitePerson, NewInvitation>(u => u.RunAsync(room.Administrator, new InvitationInput(Role.Member), Cancellation));
        await room.DoAsync<WithdrawInvitation, bool>(u => u.RunAsync(room.Administrator, withdrawn.Id, Cancellation));

        HomeView administrator = await room.DoAsync<HomeReader, HomeView>(u => u.RunAsync(room.Administrator, Cancellation));
        HomeView coordinator = await room.DoAsync<HomeReader, HomeView>(u => u.RunAsync(room.Coordinator, Cancellation));

        HomeEntry row = Assert.Single(List(administrator, HomeSection.Invitations).Rows);
        Assert.Equal((open.Id, "Nora", nameof(Role.Member)), (row.Id, row.Name, row.About));
        Assert.DoesNotContain(coordinator.Lists, l => l.Section != HomeSection.FirstSteps);
    }

    [Fact]
    public async Task Read_WhenTheGuildsDayIsAnother_CountsLateByTheGuildsCalendar()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        HandedOver taken = await room.TakenHomeAsync(await room.LotAsync(500), 40);

        // Between these two zones there are always two calendar days at once.
        foreach (string zone in (string[])["Pacific/Kiritimati", "Pacific/Pago_Pago"])
        {
            await room.OwnerSqlAsync($"update guild set time_zone = {zone}");
            DateOnly there = DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(DateTimeOffset.UtcNow, TimeZoneInfo.FindSystemTimeZoneById(zone)).DateTime);
            await room.OwnerSqlAsync($"update checkout set due_on = {there} where id = {taken.Id}");
            HomeView today = await ReadAsync(room, room.Volunteer);
            await room.OwnerSqlAsync($"update checkout set due_on = {there.AddDays(-1)} where id = {taken.Id}");
            HomeView after = await ReadAsync(room, room.Volunteer);

            Assert.Equal(there, today.Today);
            Assert.DoesNotContain(today.Lists, l => l.Section == HomeSection.Late);
            Assert.Contains(after.Lists, l => l.Section == HomeSection.Late);
        }
    }

    [Fact]
    public async Task Read_WhenTheWantedYarnIsOld_TellsCoordinatorsUntilItIsReckonedAnew()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        DateTimeOffset old = DateTimeOffset.UtcNow.AddDays(-HomeReader.OldWantedDays).AddMinutes(-1);
        await room.Guild.WantAsync(old.AddDays(-9));
        await room.Guild.WantAsync(old);
        Assert.DoesNotContain((await ReadAsync(room, room.Coordinator)).Lists, l => l.Section == HomeSection.Plans);
        Guid piece = await room.Guild.DoAsync<CreatePiece, Guid>(u => u.RunAsync(
            room.Volunteer, new BookPieceInput { Name = "Hat", Parts = [new() { Name = "Body", MetresSafe = 150, WeightClasses = [WeightClass.Dk] }] }, Cancellation));
        await room.Guild.DoAsync<CreateProject, Guid>(u => u.RunAsync(room.Coordinator, new ProjectInput { Name = "Hats", Pieces = [new PieceInput("Hat", 3, null) { PieceId = piece }] }, Cancellation));

        using (SqlCount sql = new())
        {
            HomeEntry row = Assert.Single(List(await ReadAsync(room, room.Coordinator), HomeSection.Plans).Rows);
            Assert.Equal((HomeReader.OldWanted, old.ToUnixTimeSeconds()), (row.About, row.At!.Value.ToUnixTimeSeconds()));
            Assert.Equal(3, sql.Commands.Count);
        }

        Assert.DoesNotContain((await ReadAsync(room, room.Volunteer)).Lists, l => l.Section == HomeSection.Plans);
        await room.OwnerSqlAsync($"update plan set state = 'Running' where created_at < {old.AddDays(-1)}");
        Assert.DoesNotContain((await ReadAsync(room, room.Coordinator)).Lists, l => l.Section == HomeSection.Plans);
        await room.Guild.EndPlansAsync();
        Assert.Contains((await ReadAsync(room, room.Coordinator)).Lists, l => l.Section == HomeSection.Plans);
        await room.Guild.WantAsync(old.AddMinutes(5));
        Assert.DoesNotContain((await ReadAsync(room, room.Coordinator)).Lists, l => l.Section == HomeSection.Plans);
    }

    [Fact]
    public async Task Read_WhenPlansWereInterrupted_ListsThoseThatNobodyAskedAnew()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid project = await room.ProjectAsync();
        await room.OwnerSqlAsync($"""
            insert into plan (id, number, name, purpose, project_id, ask, answer, state, trouble, created_at, ended_at, created_by_id, version)
            select gen_random_uuid(), p.number, p.name, p.purpose, case p.name when 'Drive' then {project} end, jsonb_build_object(), case p.name when 'Room' then jsonb_build_object() end,
                'Interrupted', '', now() - p.days * interval '1 day', now() - p.days * interval '1 day', {room.Coordinator}, 1
            from (values ('P-2026-0001', 'Long ago', 'Member', 15), ('P-2026-0002', 'Asked anew', 'Room', 3), ('P-2026-0003', 'Room', 'Room', 2), ('P-2026-0004', 'Drive', 'Drive', 1)) as p (number, name, purpose, days)
            """);

        HomeExcerpt plans = List(await ReadAsync(room, room.Coordinator), HomeSection.Plans);

        Assert.Equal([("P-2026-0004", "Drive", 0L), ("P-2026-0003", "Room", 1L)], plans.Rows.Select(r => (r.Code, r.Name, r.Number)));
        await room.OwnerSqlAsync($"update plan set accepted_at = now(), accepted_by_id = {room.Coordinator} where name = 'Room'");
        Assert.Equal(["Drive"], List(await ReadAsync(room, room.Coordinator), HomeSection.Plans).Rows.Select(r => r.Name));
    }

    private static HomeExcerpt List(HomeView home, HomeSection section) => Assert.Single(home.Lists, l => l.Section == section);

    private static Task<HomeView> ReadAsync(DeskRoom room, Guid by) => room.Guild.DoAsync<HomeReader, HomeView>(u => u.RunAsync(by, Cancellation));
}
