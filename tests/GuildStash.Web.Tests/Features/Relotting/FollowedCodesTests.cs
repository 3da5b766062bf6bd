using System.Net;
using System.Text.Json;
using GuildStash.Domain.Rules;
using GuildStash.Printing;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Printing;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Relotting;

/// <summary>The code of a lot that went into another one leads to that one wherever yarn is asked for, and people are told.</summary>
public sealed class FollowedCodesTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    /// <summary>A lot, the lot that went into it, and one that had gone into that one before.</summary>
    private static async Task<(LotView Living, LotView Old, LotView Oldest)> MergedTwiceAsync(DeskRoom room)
    {
        (LotView living, LotView old, LotView oldest) = (await room.LotAsync(100), await room.LotAsync(60), await room.LotAsync(40));
        await room.MergeAsync(old, [oldest]);
        return (await room.MergeAsync(living, [old]), old, oldest);
    }

    [Fact]
    public async Task Hold_ByAnOldCode_IsOfTheLivingLotAndSaysSo()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        (LotView living, LotView old, LotView oldest) = await MergedTwiceAsync(room);
        WantedYarn[] yarn = [new(old.Display, 50, null), new(living.Code, 60, null), new(oldest.Code, 70, null)];

        PreviewedRequest preview = await room.Guild.DoAsync<HoldPreview, PreviewedRequest>(u => u.RunAsync(room.Member, yarn, null, Cancellation));
        PlacedRequest placed = (await room.TryHoldAsync(room.Member, new HoldInput(yarn))).Value;

        Assert.All(preview.Lots, l => Assert.Equal(living.Id, l.Lot!.Id));
        Assert.Equal([old.Code, null, oldest.Code], preview.Lots.Select(l => l.OldCode));
        Assert.All(placed.Holds, h => Assert.Equal(living.Code, h.LotCode));
        Assert.Equal([old.Code, null, oldest.Code], placed.Holds.Select(h => h.OldCode));
        Assert.Equal(180_000, (await room.LookAsync(living)).HeldMg);

        // All three are of one lot, so they share what is free.
        Refuse.Rule("not-enough-free", "lots[1].grams", await room.TryHoldAsync(room.Member, new HoldInput([new(old.Code, 15, null), new(oldest.Code, 15, null)])));
    }

    [Fact]
    public async Task HandOver_ByAnOldCode_IsOfTheLivingLotAndSaysSo()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        (LotView living, LotView old, _) = await MergedTwiceAsync(room);

        LotAtTable table = await room.Guild.DoAsync<LotAtTableReader, LotAtTable>(u => u.RunAsync(room.Volunteer, old.Display, Cancellation));
        HandedOver taken = await room.HandOverAsync(new HandOverInput(LotCode: old.Display, MemberId: room.Member, Grams: 150));
        HandedOver own = await room.HandOverAsync(new HandOverInput(LotCode: living.Display, MemberId: room.Member, Grams: 10));

        Assert.Equal((living.Id, old.Code), (table.Lot.Id, table.OldCode));
        Assert.Equal((living.Code, old.Code), (taken.LotCode, taken.OldCode));
        Assert.Null(own.OldCode);
    }

    [Fact]
    public async Task Labels_ByAnOldCode_AreTheLivingLotsInPlaceOfTheOld()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        (LotView living, LotView old, LotView oldest) = await MergedTwiceAsync(room);
        PrintTexts texts = new((key, arguments) => string.Format(System.Globalization.CultureInfo.InvariantCulture, key, arguments), System.Globalization.CultureInfo.InvariantCulture, PaperLengthUnit.Metres);

        IReadOnlyList<LotLabel> labels = await room.Guild.DoAsync<LotLabelData, IReadOnlyList<LotLabel>>(u => u.LabelsAsync(room.Volunteer, [oldest.Code, living.Code, old.Code], texts, Cancellation));

        Assert.All(labels, l => Assert.Equal((living.Display, 200_000L), (l.Code, l.Milligrams)));
        Assert.All(labels, l => Assert.EndsWith(living.Code, l.Url, StringComparison.Ordinal));
        Assert.Equal([oldest.Display, null, old.Display], labels.Select(l => l.Formerly));
    }

    [Fact]
    public async Task Api_ByAnOldCode_NamesTheCodeThatWasAskedFor()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        Guid gift = await room.GiveAsync();
        string left = await room.SortAsync(gift, new { grams = 100, weightClass = "dk" });
        string gone = await room.SortAsync(gift, new { grams = 100, weightClass = "dk" });
        using HttpResponseMessage asked = await ApiRoom.SendAsync(room.Volunteer, "/api/v1/lots/merge", $$"""{"left":"{{left}}","lotCodes":["{{gone}}"],"reason":"Same yarn"}""");
        Assert.Equal(HttpStatusCode.Accepted, asked.StatusCode);
        Assert.Equal(100m, (await ApiRoom.GetAsync(room.Member, $"/api/v1/lots/{left}")).GetProperty("grams").GetDecimal());
        await room.Guild.ApproveAllAsync();

        JsonElement hold = await ApiRoom.PostAsync(room.Member, "/api/v1/holds", new { lotCode = gone, grams = 120 });
        JsonElement taken = await ApiRoom.PostAsync(room.Volunteer, "/api/v1/checkouts", new { lotCode = gone, memberEmail = "member@example.org", grams = 10 });
        JsonElement own = await ApiRoom.PostAsync(room.Member, "/api/v1/holds", new { lotCode = left, grams = 1 });

        Assert.All([hold, taken], answer => Assert.Equal((left, gone), (answer.GetProperty("lotCode").GetString(), answer.GetProperty("askedForCode").GetString())));
        Assert.False(own.TryGetProperty("askedForCode", out JsonElement none) && none.ValueKind != JsonValueKind.Null);
    }

    [Fact]
    public async Task Api_WhenALotIsSplitOrMerged_DoesAsThePagesDo()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        Guid gift = await room.GiveAsync();
        string lot = await room.SortAsync(gift, new { grams = 100, count = 4, weightClass = "dk", machineWashable = "yes" });

        JsonElement part = await ApiRoom.PostAsync(room.Volunteer, $"/api/v1/lots/{lot}/split", new { balls = 1, note = "For a sample" });

        Assert.Equal((25m, "dk"), (part.GetProperty("grams").GetDecimal(), part.GetProperty("weightClass").GetString()));
        Assert.Equal(75m, (await ApiRoom.GetAsync(room.Member, $"/api/v1/lots/{lot}")).GetProperty("grams").GetDecimal());
        (string Path, string Body, HttpStatusCode Status, string Rule)[] refused =
        [
            ($"/api/v1/lots/{lot}/split", """{"grams":80}""", HttpStatusCode.Conflict, "not-enough-in-bin"),
            ($"/api/v1/lots/{lot}/split", "{}", HttpStatusCode.UnprocessableEntity, "invalid-value"),
            ("/api/v1/lots/K7M4P9U/split", """{"grams":1}""", HttpStatusCode.NotFound, "not-found"),
            ("/api/v1/lots/merge", $$"""{"left":"{{lot}}","lotCodes":["{{lot}}"],"reason":"x"}""", HttpStatusCode.UnprocessableEntity, "invalid-value"),
            ("/api/v1/lots/merge", $$"""{"left":"{{lot}}","lotCodes":[null]}""", HttpStatusCode.UnprocessableEntity, "invalid-value"),
        ];
        foreach ((string path, string body, HttpStatusCode status, string rule) in refused)
        {
            using HttpResponseMessage answer = await ApiRoom.SendAsync(room.Volunteer, path, body);
            Assert.Equal(rule, (await ApiRoom.ProblemAsync(answer, status)).GetProperty("rule").GetString());
        }

        using HttpResponseMessage member = await ApiRoom.SendAsync(room.Member, $"/api/v1/lots/{lot}/split", """{"grams":1}""");
        await ApiRoom.ProblemAsync(member, HttpStatusCode.Forbidden);
        await using var db = room.Guild.Look();
        Assert.Equal(1, await db.LotTransfers.CountAsync(Cancellation));
    }
}
