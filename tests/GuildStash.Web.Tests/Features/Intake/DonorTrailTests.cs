using System.Net;
using GuildStash.Data;
using GuildStash.Data.Intake;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Npgsql;
using Xunit;

namespace GuildStash.Web.Tests.Features.Intake;

/// <summary>Who saw and who changed donors' data, as the trail tells it.</summary>
public sealed class DonorTrailTests(PostgresFixture postgres)
{
    private const string Name = "Dora Donorly";

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Look_WhenRepeatedOnADay_IsNotedOncePerPersonWayAndFields()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await GiveAsync(room, Name, "dora@example.org");
        await GiveAsync(room, null, null);
        PageRequest page = new(1);
        foreach (Guid by in new[] { room.Volunteer, room.Volunteer, room.Coordinator })
        {
            await room.DoAsync<GiftReader, PageOf<GiftView>>(u => u.ListAsync(by, GiftFilter.All, null, page, Cancellation));
            await room.DoAsync<GiftReader, GiftView>(u => u.OneAsync(by, gift.Id, Cancellation));
            await room.DoAsync<GiftReader, GiftView>(u => u.OfBagAsync(by, gift.Bags[0].Id, Cancellation));
            await room.DoAsync<BenchReader, Bench>(u => u.OneAsync(by, gift.Bags[0].Id, 5, Cancellation));
        }

        await room.DoAsync<GiftReader, IReadOnlyList<DonorChoice>>(u => u.DonorsAsync(room.Volunteer, "dora", Cancellation));
        await room.DoAsync<GiftReader, IReadOnlyList<DonorChoice>>(u => u.DonorsAsync(room.Coordinator, "nobody of this name", Cancellation));

        await using GuildDbContext db = room.Look();
        List<DonorTrailEntry> trail = await db.DonorTrail.OrderBy(t => t.Id).ToListAsync(Cancellation);
        Guid donor = await db.Donors.Select(d => d.Id).SingleAsync(Cancellation);
        Assert.Equal(
            [
                (DonorTrailKind.Entered, room.Volunteer, "name, contact"), (DonorTrailKind.Seen, room.Volunteer, "name"), (DonorTrailKind.Seen, room.Coordinator, "name"),
                (DonorTrailKind.Seen, room.Volunteer, "name, contact"),
            ],
            trail.Select(t => (t.Kind, t.PersonId!.Value, t.Fields)));
        Assert.All(trail, t => Assert.Equal((donor, DonorTrailWay.Page, DateOnly.FromDateTime(t.At.UtcDateTime)), (t.DonorId!.Value, t.Way, t.Day)));
    }

    [Theory]
    [InlineData("bench")]
    [InlineData("bag")]
    [InlineData("gift")]
    public async Task Look_WhenThroughOneReaderOnly_IsNoted(string reader)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await GiveAsync(room, Name, null);

        _ = reader switch
        {
            "bench" => (await room.DoAsync<BenchReader, Bench>(u => u.OneAsync(room.Coordinator, gift.Bags[0].Id, 5, Cancellation))).DonorName,
            "bag" => (await room.DoAsync<GiftReader, GiftView>(u => u.OfBagAsync(room.Coordinator, gift.Bags[0].Id, Cancellation))).DonorName,
            _ => (await room.DoAsync<GiftReader, GiftView>(u => u.OneAsync(room.Coordinator, gift.Id, Cancellation))).DonorName,
        };

        await using GuildDbContext db = room.Look();
        Assert.Equal(1, await db.DonorTrail.CountAsync(t => t.PersonId == room.Coordinator && t.Kind == DonorTrailKind.Seen, Cancellation));
    }

    [Fact]
    public async Task Look_WhenThroughPagePaperApiAndExport_SaysThroughWhat()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        LoggedGift gift = await GiveAsync(room.Guild, Name, "dora@example.org");
        HttpClient browser = await room.BrowserOfAsync(room.Guild.Administrator);
        foreach (string address in new[] { "/intake", $"/print/intake-sheet/{gift.Id}.pdf", "/safe-keeping/export.zip" })
        {
            using HttpResponseMessage answer = await browser.GetAsync(address, Cancellation);
            Assert.Equal((address, HttpStatusCode.OK), (address, answer.StatusCode));
        }

        HttpClient api = room.Client(await room.TokenOfAsync(room.Guild.Administrator));
        using HttpResponseMessage sheet = await api.GetAsync($"/api/v1/donations/{gift.Id}/intake-sheet.pdf", Cancellation);
        Assert.Equal(HttpStatusCode.OK, sheet.StatusCode);
        await ApiRoom.PostAsync(api, "/api/v1/donations", new { kind = "donation", grossGrams = 5, donor = new { name = "Abe Another" } });

        await using GuildDbContext db = room.Guild.Look();
        var trail = await db.DonorTrail.Where(t => t.PersonId == room.Guild.Administrator).OrderBy(t => t.Id).Select(t => new { t.Kind, t.Way, t.Fields, All = t.DonorId == null }).ToListAsync(Cancellation);
        Assert.Equal(
            [
                (DonorTrailKind.Seen, DonorTrailWay.Page, "name", false), (DonorTrailKind.Seen, DonorTrailWay.Print, "name", false), (DonorTrailKind.Seen, DonorTrailWay.Export, "name, contact", true),
                (DonorTrailKind.Seen, DonorTrailWay.Api, "name", false), (DonorTrailKind.Entered, DonorTrailWay.Api, "name", false),
            ],
            trail.Select(t => (t.Kind, t.Way, t.Fields, t.All)));
    }

    [Fact]
    public async Task Look_WhenRefusedOrGiftRefused_LeavesNothing()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await GiveAsync(room, Name, null);
        await room.UseAsync<GiftReader, Outcome<GiftView>>(u => u.OneAsync(room.Member, gift.Id, Cancellation));
        Outcome<LoggedGift> refused = await room.UseAsync<LogGift, Outcome<LoggedGift>>(u => u.RunAsync(room.Coordinator, new GiftInput { DonorName = "Not Kept", Bags = [new BagInput(-1, 0, [])] }, Cancellation));

        Assert.False(refused.IsOk);
        await using GuildDbContext db = room.Look();
        Assert.Equal(DonorTrailKind.Entered, (await db.DonorTrail.SingleAsync(Cancellation)).Kind);
    }

    [Fact]
    public async Task Change_WhenMadeByWhomeverAndHowever_IsNotedWithItsFields()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await GiveAsync(room, Name, "dora@example.org");
        await using GuildDbContext db = room.Look();
        await db.Database.ExecuteSqlAsync($"update donor set contact = 'elsewhere@example.org', changed_by_id = {room.Coordinator}, changed_at = now()", Cancellation);
        await db.Database.ExecuteSqlAsync($"update donor set version = version + 1", Cancellation);

        DonorTrailEntry last = await db.DonorTrail.OrderByDescending(t => t.Id).FirstAsync(Cancellation);
        Assert.Equal((DonorTrailKind.Changed, "contact", room.Coordinator, DonorTrailWay.Unknown), (last.Kind, last.Fields, last.PersonId!.Value, last.Way));
        Assert.Equal(2, await db.DonorTrail.CountAsync(Cancellation));
    }

    [Theory]
    [InlineData("update donor_trail set person_id = null")]
    [InlineData("delete from donor_trail")]
    [InlineData("truncate donor_trail")]
    public async Task Trail_WhenSomebodyWouldChangeIt_RefusesEvenItsOwner(string sql)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await GiveAsync(room, Name, null);
        foreach (string connection in new[] { room.OwnerConnectionString, room.AppConnectionString })
        {
            await using GuildDbContext db = GuildDatabase.Open(connection);
            PostgresException refused = await Assert.ThrowsAsync<PostgresException>(() => db.Database.ExecuteSqlRawAsync(sql, Cancellation));
            Assert.Equal(connection == room.OwnerConnectionString ? PostgresErrorCodes.RestrictViolation : PostgresErrorCodes.InsufficientPrivilege, refused.SqlState);
        }
    }

    [Fact]
    public async Task Trail_WhenRead_IsPagedFilteredByPersonAndNotesTheReader()
    {
        await using WebRoom web = await WebRoom.OpenAsync(postgres);
        GuildRoom room = web.Guild;
        await GiveAsync(room, Name, null);
        await room.DoAsync<GiftReader, PageOf<GiftView>>(u => u.ListAsync(room.Coordinator, GiftFilter.All, null, new PageRequest(1), Cancellation));
        await using (GuildDbContext db = room.Look())
        {
            await DonorTrail.TookAllByConsoleAsync(db, Cancellation);
        }

        PageOf<DonorTrailLine> second = await ReadAsync(room, null, new PageRequest(2, 1));
        PageOf<DonorTrailLine> coras = await ReadAsync(room, "CORA", new PageRequest(1));
        PageOf<DonorTrailLine> nobodys = await ReadAsync(room, "%", new PageRequest(1));
        using Visitor administrator = await web.SignInAsync("admin@example.org");
        string page = string.Join(' ', (await administrator.OpenAsync("/safe-keeping/donors")).QuerySelector("table")!.TextContent.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));

        Assert.Equal((3, 2, "Cora Coordinator"), (second.Total, second.Page, Assert.Single(second.Items).Person));
        Assert.Equal((DonorTrailKind.Seen, Name, "Cora Coordinator"), (Assert.Single(coras.Items).Kind, coras.Items[0].DonorName, coras.Items[0].Person));
        Assert.Equal(0, nobodys.Total);
        Assert.Contains("every donor operator of the machine saw name and contact the console", page, StringComparison.Ordinal);
        Assert.Contains("Dora Donorly Vera Volunteer entered the name a page", page, StringComparison.Ordinal);
        Assert.Equal(2, page.Split("every donor Ada Admin saw the name a page").Length);
    }

    private static Task<PageOf<DonorTrailLine>> ReadAsync(GuildRoom room, string? person, PageRequest page) =>
        room.DoAsync<DonorTrailReader, PageOf<DonorTrailLine>>(u => u.PageAsync(room.Administrator, person, page, Cancellation));

    private static Task<LoggedGift> GiveAsync(GuildRoom room, string? name, string? contact) =>
        room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { DonorName = name, DonorContact = contact, Bags = [new BagInput(500, 0, [])] }, Cancellation));
}
