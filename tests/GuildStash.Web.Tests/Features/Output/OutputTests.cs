using System.Globalization;
using System.Text;
using GuildStash.Data.Projects;
using GuildStash.Domain.Projects;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Output;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Output;

public sealed class OutputTests(PostgresFixture postgres)
{
    private static readonly DateOnly s_day = new(2025, 3, 9);

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Read_WhenPiecesWereHandedOver_CountsThemByRecipientAndYearOfTheirDay()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid hats = await ProjectAsync(room, "Hats", "Quayside Shelter");
        Guid caps = await ProjectAsync(room, "Caps", " Quayside Shelter ");
        await room.Guild.RecordAsync(hats, "Hat", PieceStep.Finished, 40, s_day);
        await room.Guild.RecordAsync(hats, "Hat", PieceStep.Delivered, 12, s_day);
        await room.Guild.RecordAsync(caps, "Cap", PieceStep.Delivered, 5, s_day);
        await room.Guild.RecordAsync(hats, "Hat", PieceStep.Delivered, 7, new DateOnly(2024, 12, 31));
        await room.Guild.RecordAsync(null, "Shawl", PieceStep.Delivered, 1, new DateOnly(2024, 1, 1));

        Assert.Equal(["Quayside Shelter 2025: 17", " 2024: 1", "Quayside Shelter 2024: 7"], (await ReadAsync(room)).Select(Pieces));
    }

    [Fact]
    public async Task Read_WhenARecordIsTakenBackAYearLater_MendsTheYearOfTheRecord()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid hats = await ProjectAsync(room, "Hats", "Quayside Shelter");
        PieceRecord wrong = await room.Guild.RecordAsync(hats, "Hat", PieceStep.Delivered, 12, new DateOnly(2024, 12, 30));
        await room.Guild.RecordAsync(hats, "Hat", PieceStep.Delivered, -12, new DateOnly(2025, 1, 2), takesBack: wrong);
        await room.Guild.RecordAsync(hats, "Hat", PieceStep.Delivered, 2, new DateOnly(2025, 1, 2));

        Assert.Equal(["Quayside Shelter 2025: 2"], (await ReadAsync(room)).Select(Pieces));
    }

    [Fact]
    public async Task Read_WhenYarnWasUsed_TellsGramsOfTheBooksAndLikelyLengthOfTheLots()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid hats = await ProjectAsync(room, "Hats", "Quayside Shelter");
        LotView aran = await room.LotAsync(400);
        LotView unknown = await room.LotAsync(100, lot => lot with { WeightClass = null });
        await UseAsync(room, aran, hats, taken: 150, back: 30);
        await UseAsync(room, unknown, hats, taken: 40, back: 0);
        await room.TakenHomeAsync(aran, 50, hats);
        OutputRow row = Assert.Single(await ReadAsync(room));

        Assert.Equal(("Quayside Shelter", DateTime.UtcNow.Year, 0L, 160_000L, 40_000L), (row.Recipient, row.Year, row.Pieces, row.Mg, row.UnmeasuredMg));
        Assert.Equal(await LikelyAsync(room, aran, 120_000), row.Metres, 6);
        ProjectView project = await room.Guild.DoAsync<ProjectReader, ProjectView>(u => u.OneAsync(room.Member, hats, Cancellation));
        Assert.Equal(project.UsedMg, row.Mg);
    }

    [Fact]
    public async Task Read_WhenAMovementIsCorrected_CountsTheCounterMovementInTheYearOfWhatItCorrects()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid hats = await ProjectAsync(room, "Hats", "Quayside Shelter");
        LotView lot = await room.LotAsync(400);
        await UseAsync(room, lot, hats, taken: 150, back: 30);
        await CounterAsync(room, lot, hats, 20_000);

        OutputRow row = Assert.Single(await ReadAsync(room));
        Assert.Equal((DateTime.UtcNow.Year, 100_000L), (row.Year, row.Mg));
        Assert.Equal(await LikelyAsync(room, lot, 100_000), row.Metres, 6);

        // Back home as the books say, so that they are clean when the room closes.
        await room.OwnerSqlAsync($"update checkout set closed_at = null where lot_id = {lot.Id}");
    }

    [Theory]
    [InlineData("Pacific/Auckland", "2025-12-31T12:30:00+00:00", 2026)]
    [InlineData("Europe/London", "2025-12-31T12:30:00+00:00", 2025)]
    public async Task Read_WhenTheYearTurns_GoesByTheGuildsClock(string zone, string at, int year)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid hats = await ProjectAsync(room, "Hats", "");
        LotView lot = await room.LotAsync(400);
        await UseAsync(room, lot, hats, taken: 150, back: 0);
        await room.OwnerSqlAsync($"update guild set time_zone = {zone}");
        await room.OwnerSqlAsync($"alter table movement disable trigger movement_is_final");
        await room.OwnerSqlAsync($"update movement set at = {DateTimeOffset.Parse(at, CultureInfo.InvariantCulture)} where to_kind = 'Project'");
        await room.OwnerSqlAsync($"alter table movement enable trigger movement_is_final");

        Assert.Equal(("", year, 150_000L), Assert.Single((await ReadAsync(room)).Select(r => (r.Recipient, r.Year, r.Mg))));
    }

    [Fact]
    public async Task File_WhenFiltered_HasTheRowsOfThePageAndNothingOfPeople()
    {
        await using WebRoom web = await WebRoom.OpenAsync(postgres);
        Guid hats = await web.Guild.DoAsync<CreateProject, Guid>(u => u.RunAsync(web.Guild.Coordinator, new ProjectInput { Name = "Hats", Recipient = "Quayside Shelter" }, Cancellation));
        Guid caps = await web.Guild.DoAsync<CreateProject, Guid>(u => u.RunAsync(web.Guild.Coordinator, new ProjectInput { Name = "Caps", Recipient = "=Infirmary" }, Cancellation));
        await web.Guild.RecordAsync(hats, "Hat", PieceStep.Delivered, 12, s_day, note: "by Mia Member");
        await web.Guild.RecordAsync(caps, "Cap", PieceStep.Delivered, 3, s_day);
        await web.Guild.RecordAsync(hats, "Hat", PieceStep.Delivered, 4, s_day.AddYears(-1));
        using Visitor member = await web.SignInAsync("member@example.org");

        Assert.Equal("Recipient,Year,Pieces,Grams,\"Probably, yards\",Grams of unknown length|\"'=Infirmary\",2025,3,0,0,0|Quayside Shelter,2025,12,0,0,0|Quayside Shelter,2024,4,0,0,0", await FileAsync(member, ""));
        Assert.Equal("Quayside Shelter,2025,12,0,0,0", (await FileAsync(member, "?year=2025&recipient=Quayside%20Shelter")).Split('|', 2)[1]);
        string page = (await member.OpenAsync("/output?year=2025")).QuerySelector("main")!.TextContent;
        Assert.Contains("15 pieces", page, StringComparison.Ordinal);
        Assert.DoesNotContain("Mia", page + await FileAsync(member, ""), StringComparison.Ordinal);
    }

    private static async Task<string> FileAsync(Visitor visitor, string query)
    {
        using HttpResponseMessage answer = await visitor.GetAsync(OutputCsv.Route + query);
        return Encoding.UTF8.GetString(await answer.Content.ReadAsByteArrayAsync(Cancellation)).TrimStart('\uFEFF').TrimEnd().ReplaceLineEndings("|");
    }

    private static string Pieces(OutputRow row) => string.Create(CultureInfo.InvariantCulture, $"{row.Recipient} {row.Year}: {row.Pieces}");

    private static async Task<IReadOnlyList<OutputRow>> ReadAsync(DeskRoom room) =>
        (await room.Guild.DoAsync<OutputReader, OutputView>(u => u.RunAsync(room.Member, Cancellation))).Rows;

    private static Task<Guid> ProjectAsync(DeskRoom room, string name, string recipient) =>
        room.Guild.DoAsync<CreateProject, Guid>(u => u.RunAsync(room.Coordinator, new ProjectInput { Name = name, Recipient = recipient }, Cancellation));

    /// <summary>Takes yarn home for a project and brings a part back; the rest went into the pieces.</summary>
    private static async Task UseAsync(DeskRoom room, LotView lot, Guid project, decimal taken, decimal back)
    {
        HandedOver home = await room.TakenHomeAsync(lot, taken, project);
        if (back > 0)
        {
            Assert.True((await room.TryTakeBackAsync(home.Id, new ReturnInput(back, [], IsAll: true))).IsOk);
        }
        else
        {
            await room.Guild.DoAsync<FinishCheckout, bool>(u => u.RunAsync(room.Volunteer, home.Id, Cancellation));
        }
    }

    private static Task<double> LikelyAsync(DeskRoom room, LotView lot, long mg) =>
        room.AskAsync(async db => mg / 100_000.0 * (await db.Lots.SingleAsync(l => l.Id == lot.Id, Cancellation)).MetresPer100gLikely!.Value);

    /// <summary>A counter-movement as a repair of the books would write it, a year later.</summary>
    private static Task<int> CounterAsync(DeskRoom room, LotView lot, Guid project, long mg) => room.OwnerSqlAsync(
        $"""
         insert into movement (id, from_kind, from_id, to_kind, to_id, mg, reason, note, lot_id, bag_id, checkout_id, corrects_id, at, by_id)
         select {Guid.CreateVersion7()}, m.to_kind, m.to_id, m.from_kind, m.from_id, {mg}, 'EnteredByMistake', '', m.lot_id, m.bag_id, m.checkout_id, m.id, m.at + interval '1 year', m.by_id
         from movement m where m.lot_id = {lot.Id} and m.to_kind = 'Project' and m.to_id = {project}
         """);
}
