using GuildStash.Data.Guild;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Settings;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Settings;

public sealed class SaveSettingsTests(PostgresFixture postgres)
{
    private static readonly SettingsInput Good = new()
    {
        Name = "Quay Yarn Guild",
        Address = "Fish Lane 3\n12345 Exampleton",
        TimeZone = "Europe/Berlin",
        Culture = "de-DE",
        LengthUnit = LengthUnit.Metres,
        QuarantinePolicy = QuarantinePolicy.EveryBag,
        HoldDays = 7,
        LoanDays = 90,
        WeighingToleranceGrams = 3,
    };

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    public static TheoryData<string, SettingsInput> Wrong => new()
    {
        { "name", Good with { Name = "  " } },
        { "name", Good with { Name = new string('x', 201) } },
        { "address", Good with { Address = new string('x', 10_000) } },
        { "timeZone", Good with { TimeZone = "Mars/Olympus" } },
        { "timeZone", Good with { TimeZone = "W. Europe Standard Time" } },
        { "timeZone", Good with { TimeZone = null } },
        { "culture", Good with { Culture = "xx-YY" } },
        { "culture", Good with { Culture = "qps-Ploc" } },
        { "lengthUnit", Good with { LengthUnit = (LengthUnit)9 } },
        { "quarantinePolicy", Good with { QuarantinePolicy = (QuarantinePolicy)9 } },
        { "holdDays", Good with { HoldDays = 0 } },
        { "holdDays", Good with { HoldDays = 366 } },
        { "holdDays", Good with { HoldDays = 2.5m } },
        { "holdDays", Good with { HoldDays = null } },
        { "loanDays", Good with { LoanDays = 731 } },
        { "loanDays", Good with { LoanDays = decimal.MaxValue } },
        { "weighingToleranceGrams", Good with { WeighingToleranceGrams = -1 } },
        { "weighingToleranceGrams", Good with { WeighingToleranceGrams = 51 } },
    };

    [Fact]
    public async Task Save_WhenAllIsRight_IsKeptAndTheZoneFollowsAtOnce()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        int version = await room.DoAsync<SaveSettings, int>(u => u.RunAsync(room.Coordinator, 0, Good, Cancellation));

        SettingsView kept = await room.DoAsync<SettingsReader, SettingsView>(u => u.RunAsync(room.Coordinator, Cancellation));
        Assert.Equal(Good, kept.Fields);
        Assert.Equal((1, "Cora Coordinator"), (version, kept.ChangedBy));
        Assert.Equal("Europe/Berlin", (await room.UseAsync<GuildDefaults, TimeZoneInfo>(defaults => Task.FromResult(defaults.Zone))).Id);
        Assert.Equal((LengthUnit.Metres, "de-DE"), await room.UseAsync<GuildDefaults, (LengthUnit?, string?)>(defaults => Task.FromResult((defaults.LengthUnit, defaults.Culture))));
    }

    [Theory]
    [MemberData(nameof(Wrong))]
    public async Task InvalidSettings_AreRefusedAtTheirFieldAndNothingIsKept(string field, SettingsInput input)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        Outcome<int> refused = await room.UseAsync<SaveSettings, Outcome<int>>(u => u.RunAsync(room.Coordinator, 0, input, Cancellation));

        Assert.Equal(field, Assert.Single(refused.Refusals).Field);
        await using var db = room.Look();
        GuildSettings kept = await db.Guilds.SingleAsync(Cancellation);
        Assert.Equal(("Harbour Yarn Guild", 0), (kept.Name, kept.Version));
    }

    [Fact]
    public async Task Save_WhenAnotherSavedMeanwhile_IsRefused()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await room.DoAsync<SaveSettings, int>(u => u.RunAsync(room.Coordinator, 0, Good, Cancellation));

        Outcome<int> late = await room.UseAsync<SaveSettings, Outcome<int>>(u => u.RunAsync(room.Administrator, 0, Good with { Name = "Late" }, Cancellation));

        Assert.Equal("changed-meanwhile", late.Refusal.Rule);
    }

    [Fact]
    public async Task Save_WhenTwoSaveAtOnce_OneIsRefused()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        Outcome<int>[] outcomes = await Task.WhenAll(Enumerable.Range(0, 4).Select(i =>
            room.UseAsync<SaveSettings, Outcome<int>>(u => u.RunAsync(room.Coordinator, 0, Good with { Name = $"Guild {i}" }, Cancellation))));

        Assert.Single(outcomes, outcome => outcome.IsOk);
        Assert.All(outcomes.Where(outcome => !outcome.IsOk), outcome => Assert.Equal("changed-meanwhile", outcome.Refusal.Rule));
    }
}
