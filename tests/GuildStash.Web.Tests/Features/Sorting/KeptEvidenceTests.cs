using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Sorting;

/// <summary>What was measured is kept with the lot as it was measured, so that its figures can be computed again.</summary>
public sealed class KeptEvidenceTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static LotInput Measured => new()
    {
        Grams = 100,
        Band = new(98, 50),
        Sample = new(20, 10, 0.1m, 1.5m, true),
        YarnCount = "Nm 8/2",
        CountNotation = CountNotation.Resultant,
        NamedMetresPer100g = 300,
        MachineWashable = Tristate.No,
        MaxCelsius = 30,
        CareNotes = "hand wash",
    };

    private static Task<Outcome<LotView>> TryAsync(GuildRoom room, Guid bag, LotInput input) =>
        room.UseAsync<AddLot, Outcome<LotView>>(u => u.RunAsync(room.Volunteer, bag, input, Cancellation));

    private static void AssertKept(LotView lot)
    {
        Assert.Equal(new BandInput(98, 50), lot.Band);
        Assert.Equal(new SampleInput(20, 10, 0.1m, 1.5m, true), lot.Sample);
        Assert.Equal(("Nm 8/2", CountNotation.Resultant, 300.0, 30), (lot.YarnCount, lot.CountNotation, lot.NamedMetresPer100g!.Value, lot.MaxCelsius!.Value));
    }

    [Fact]
    public async Task Roundtrip_OfEverythingMeasured_ThroughLotAndForm()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LotView lot = (await TryAsync(room, await room.BagAsync(1000), Measured)).Value;
        AssertKept(lot);

        BallForm form = BallForm.From(lot);
        LotView saved = await room.DoAsync<EditLot, LotView>(u => u.RunAsync(room.Volunteer, lot.Id, lot.Version, form.ToInput(QuarantinePolicy.OnSignsOnly, null).Value, Cancellation));

        AssertKept(saved);
        Assert.Equal((lot.MetresLow, lot.MetresLikely, lot.MetresHigh), (saved.MetresLow, saved.MetresLikely, saved.MetresHigh));
    }

    [Fact]
    public async Task Save_WhenASamplesLengthIsLessSure_TheRangeIsWider()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await room.BagAsync(1000);
        async Task<double> SpreadAsync(SampleInput sample) =>
            (await TryAsync(room, bag, new() { Grams = 100, Sample = sample })).Value is var lot ? lot.MetresHigh!.Value / lot.MetresLow!.Value : 0;

        double usual = await SpreadAsync(new(20, 10, 0.1m));
        Assert.Equal(usual, await SpreadAsync(new(20, 10, 0.1m, 0.2m)), 1e-9);
        Assert.True(await SpreadAsync(new(20, 10, 0.1m, 2)) > 1.05 * usual);
        Assert.True(await SpreadAsync(new(20, 10, 0.5m, null, true)) > await SpreadAsync(new(20, 10, 0.5m)) * 1.01);
    }

    /// <summary>合太 is about 3 m to 1 g (common practice): 300 m to 100 g, whatever the band says in grams.</summary>
    [Fact]
    public async Task KnownName_OfAJapaneseBand_GivesTheLotItsLength()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        BallForm form = new() { BandWords = "合太", Grams = 40 };
        new BandInRow().Fill(form);

        LotView lot = (await TryAsync(room, await room.BagAsync(1000), form.ToInput(QuarantinePolicy.OnSignsOnly, null).Value)).Value;

        Assert.Equal(300, lot.NamedMetresPer100g!.Value, 0.5);
        Assert.InRange(lot.MetresLikely!.Value, 110, 130);
        Assert.Contains("from the name of its thickness", lot.BasisText, StringComparison.Ordinal);
    }

    /// <summary>Spun silk 40/2 is the resultant already: Ne 40 is 185.188 yd to 100 g for each, 7407.5 yd (computed); as singles half of it.</summary>
    [Theory]
    [InlineData("Ne 40/2", CountNotation.Resultant, 7407.5)]
    [InlineData("Ne 40/2", CountNotation.Singles, 3703.8)]
    [InlineData("R 40 tex / 2", CountNotation.Singles, 2734.0)]
    public async Task KnownCount_ByItsNotation_GivesTheLength(string count, CountNotation notation, double yards)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        LotView lot = (await TryAsync(room, await room.BagAsync(1000), new() { Grams = 100, YarnCount = count, CountNotation = notation })).Value;

        Assert.Equal(yards, lot.MetresLikely!.Value / 0.9144, yards * 1e-4);
    }

    /// <summary>A stated resultant is surer (4 %) than one reckoned from singles (5 %), docs/adr/0007-estimates.md; "R" says that it is one.</summary>
    [Fact]
    public void KnownKind_OfACount_FollowsFromItsWords()
    {
        Assert.Equal(Domain.Quantities.CountKind.Resultant, CountFields.Of("R 40 tex / 2", "count").Value.Kind);
        Assert.Equal(Domain.Quantities.CountKind.Resultant, CountFields.Of("Ne 40/2", "count", CountNotation.Resultant).Value.Kind);
        Assert.Equal(Domain.Quantities.CountKind.Folded, CountFields.Of("Ne 40/2", "count").Value.Kind);
        Assert.Equal(Domain.Quantities.CountKind.Folded, CountFields.Of("60s + 40s Ne", "count").Value.Kind);
        Assert.Equal(Domain.Quantities.CountKind.Resultant, CountFields.Of("Nm 14", "count").Value.Kind);
    }

    [Fact]
    public async Task InvalidEvidence_IsRefusedAtItsFieldWithWhatIsAllowed()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await room.BagAsync(1000);
        async Task RefusedAsync(LotInput input, string field, string allowed)
        {
            Refusal refusal = (await TryAsync(room, bag, input)).Refusal;
            Assert.Equal(field, refusal.Field);
            Assert.Contains(allowed, refusal.Sentence.ToString(), StringComparison.Ordinal);
        }

        LotInput dk = new() { Grams = 100, WeightClass = WeightClass.Dk };
        await RefusedAsync(dk with { Sample = new(20, 10, 0.1m, -1) }, "sample.errorMetres", "0 or more and less than the length itself (20 m)");
        await RefusedAsync(dk with { Sample = new(20, 10, 0.1m, 20) }, "sample.errorMetres", "less than the length itself (20 m)");
        await RefusedAsync(dk with { NamedMetresPer100g = 3 }, "namedMetresPer100g", "5 to 20,000 is allowed");
        await RefusedAsync(dk with { MaxCelsius = 0 }, "maxCelsius", "1 to 95 °C is allowed");
        await RefusedAsync(dk with { MaxCelsius = 96 }, "maxCelsius", "1 to 95 °C is allowed");
        await RefusedAsync(dk with { MaxCelsius = 60, MachineWashable = Tristate.No }, "maxCelsius", "by hand at most 40");
    }

    [Fact]
    public async Task Api_WhenMoreWasMeasured_KeepsItAndAnswersIt()
    {
        await using ApiRoom api = await ApiRoom.OpenAsync(postgres);
        async Task<JsonElement> PostAsync(string path, object body, HttpStatusCode status)
        {
            using HttpResponseMessage answer = await api.Volunteer.PostAsJsonAsync("/api/v1" + path, body, Cancellation);
            string text = await answer.Content.ReadAsStringAsync(Cancellation);
            Assert.True(answer.StatusCode == status, text);
            return JsonElement.Parse(text);
        }

        JsonElement gift = await PostAsync("/donations", new { kind = "donation", grossGrams = 1000, tareGrams = 0 }, HttpStatusCode.Created);
        string lots = $"/donations/{gift.GetProperty("id").GetGuid()}/lots";
        JsonElement silk = await PostAsync(lots, new { grams = 100, yarnCount = "Ne 40/2", countNotation = "resultant", maxCelsius = 30, sample = (object?)null }, HttpStatusCode.Created);
        JsonElement whole = await PostAsync(lots, new { wholeBalls = 2, band = new { metres = 125, grams = 50 } }, HttpStatusCode.Created);
        JsonElement unsure = await PostAsync(lots, new { grams = 100, sample = new { metres = 20, grams = 10, errorMetres = 2, isDifference = true } }, HttpStatusCode.Created);
        JsonElement refused = await PostAsync(lots, new { grams = 100, sample = new { metres = 20, grams = 10, errorMetres = 30 } }, HttpStatusCode.UnprocessableEntity);

        Assert.Equal(7407.5 * 0.9144, silk.GetProperty("metresLikely").GetDouble(), 1);
        Assert.Equal((30, 2), (silk.GetProperty("maxCelsius").GetInt32(), whole.GetProperty("wholeBalls").GetInt32()));
        Assert.True(unsure.GetProperty("metresLow").GetDouble() < 185);
        Assert.Contains("less than the length itself", refused.GetProperty("errors").GetProperty("sample.errorMetres")[0].GetString(), StringComparison.Ordinal);
    }
}
