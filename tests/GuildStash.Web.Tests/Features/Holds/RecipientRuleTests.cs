using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Domain.Yardage;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Holds;

/// <summary>A lot that breaks a recipient's rule is neither reserved nor handed over for it.</summary>
public sealed class RecipientRuleTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Theory]
    [InlineData(RecipientRules.WashableOnly, "washable-only")]
    [InlineData(RecipientRules.NoWool, "no-wool")]
    [InlineData(RecipientRules.NoAnimalFibre, "no-animal-fibre")]
    [InlineData(RecipientRules.NoUnknownFibre, "no-unknown-fibre")]
    [InlineData(RecipientRules.SmokeFree, "smoke-free")]
    [InlineData(RecipientRules.PetFree, "pet-free")]
    [InlineData(RecipientRules.ScentFree, "scent-free")]
    [InlineData(RecipientRules.InfantOrHospital, "no-mothball")]
    [InlineData(RecipientRules.NoMetallic, "no-metallic")]
    [InlineData(RecipientRules.SoftOnly, "soft-only")]
    public async Task Invalid_WhenTheLotBreaksARule_NamesTheRuleAndAnotherLotPasses(RecipientRules rule, string key)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid project = await room.ProjectAsync("Tiny hats", rule);
        LotView breaks = await BreakingAsync(room, rule);
        LotView passes = await room.LotAsync(100);

        Outcome<PlacedRequest> refused = await room.TryHoldAsync(room.Member, new HoldInput([new(breaks.Code, 10, null)], project));
        Refuse.Rule(key, "lotCode", refused);
        Assert.Contains("Tiny hats", refused.Refusal.ToString(), StringComparison.Ordinal);
        Refuse.Rule(key, "lotCode", await room.TryHandOverAsync(new HandOverInput(LotCode: breaks.Code, MemberId: room.Member, ProjectId: project, Grams: 10)));
        await room.HoldAsync(passes, 10, project: project);
        await room.HoldAsync(breaks, 10);
    }

    [Fact]
    public async Task Invalid_WhenSeveralRulesAreBroken_NamesAllOfThem()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid project = await room.ProjectAsync("Tiny hats", RecipientRules.WashableOnly | RecipientRules.NoWool | RecipientRules.SmokeFree);
        LotView lot = await room.LotAsync(100, l => l with { Fibres = [new FibreInput("WO", 100)], MachineWashable = Tristate.Unknown }, "smoke");

        Outcome<PlacedRequest> refused = await room.TryHoldAsync(room.Member, new HoldInput([new(lot.Code, 10, null)], project));

        Assert.Equal(["washable-only", "no-wool", "smoke-free"], refused.Refusals.Select(r => r.Rule));
    }

    [Fact]
    public async Task Invalid_WhenTheProjectIsClosed_TakesNoMoreYarn()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid project = await room.ProjectAsync();
        LotView lot = await room.LotAsync(100);
        PlacedHold before = await room.HoldAsync(lot, 10, project: project);
        await room.Guild.DoAsync<CloseProject, bool>(u => u.RunAsync(room.Coordinator, project, true, Cancellation));

        Refuse.Rule("project-closed", "projectId", await room.TryHoldAsync(room.Member, new HoldInput([new(lot.Code, 10, null)], project)));
        Refuse.Rule("project-closed", "projectId", await room.TryHandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: room.Member, ProjectId: project, Grams: 10)));
        await room.HandOverAsync(new HandOverInput(before.Id, Grams: 10));

        await room.Guild.DoAsync<CloseProject, bool>(u => u.RunAsync(room.Coordinator, project, false, Cancellation));
        await room.HoldAsync(lot, 10, project: project);
    }

    [Fact]
    public async Task HandOver_WhenTheLotBreaksARuleSinceItWasReserved_IsRefusedAndTheHoldStays()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid project = await room.ProjectAsync("Tiny hats", RecipientRules.SmokeFree);
        LotView lot = await room.LotAsync(100);
        PlacedHold hold = await room.HoldAsync(lot, 30, project: project);
        HandedOver other = await room.TakenHomeAsync(lot, 20);
        TakenBack back = (await room.TryTakeBackAsync(other.Id, new ReturnInput(20, ["smoke"]))).Value;
        await room.Guild.DoAsync<InspectReturn, InspectedReturn>(u => u.RunAsync(room.Volunteer, back.Id, new ReturnInspection(true, ""), Cancellation));

        Refuse.Rule("smoke-free", await room.TryHandOverAsync(new HandOverInput(hold.Id, Grams: 30)));

        Assert.Equal(Data.Ledger.HoldState.Active, (await room.HoldRowAsync(hold.Id)).State);
        Assert.Equal(30_000, (await room.LookAsync(lot)).HeldMg);
    }

    private static Task<LotView> BreakingAsync(DeskRoom room, RecipientRules rule) => rule switch
    {
        RecipientRules.WashableOnly => room.LotAsync(100, l => l with { MachineWashable = Tristate.Unknown }),
        RecipientRules.NoWool => room.LotAsync(100, l => l with { Fibres = [new FibreInput("WO", 100)] }),
        RecipientRules.NoAnimalFibre => room.LotAsync(100, l => l with { Fibres = [new FibreInput("SE", 100)] }),
        RecipientRules.NoUnknownFibre => room.LotAsync(100, l => l with { Fibres = [], FibreBasis = FibreBasis.Unknown }),
        RecipientRules.SmokeFree => room.LotAsync(100, null, "smoke"),
        RecipientRules.PetFree => room.LotAsync(100, null, "petHair"),
        RecipientRules.ScentFree => room.LotAsync(100, null, "perfume"),
        RecipientRules.InfantOrHospital => room.LotAsync(100, null, "mothball"),
        RecipientRules.NoMetallic => room.LotAsync(100, l => l with { Texture = Texture.Metallic }),
        RecipientRules.SoftOnly => room.LotAsync(100, l => l with { Softness = Softness.Scratchy }),
        _ => throw new ArgumentOutOfRangeException(nameof(rule), rule, "No lot is known that breaks it."),
    };
}
