using GuildStash.Domain.Intake;
using GuildStash.Web.Features.Drafts;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Sorting;
using Xunit;

namespace GuildStash.Web.Tests.Features.Drafts;

public sealed class DraftStateTests
{
    [Fact]
    public void Roundtrip_AGift_ComesBackWithEveryField()
    {
        GiftForm form = new()
        {
            Kind = IntakeKind.Swap,
            Donor = DonorWish.Known,
            KnownDonor = new DonorChoice(Guid.CreateVersion7(), "Dora <Donor>", "dora@example.org"),
            ReceivedOn = new DateOnly(2026, 3, 9),
            Wishes = "For “children”, please",
            Bags = [new() { GrossGrams = 560.5m, TareGrams = 40.5m, Conditions = Conditions.Damp }, new()],
        };

        string state = DraftState.Write(form);

        Assert.Equal(state, DraftState.Write(DraftState.Read<GiftForm>(state)!));
        Assert.Equal((form.KnownDonor, form.RequestId), (DraftState.Read<GiftForm>(state)!.KnownDonor, DraftState.Read<GiftForm>(state)!.RequestId));
        Assert.Equal(520_000, DraftState.Read<GiftForm>(state)!.Bags[0].NetMg);
    }

    [Fact]
    public void Roundtrip_ABench_ComesBackWithTheBallThatWasPutAside()
    {
        BenchDraft draft = new(new BallForm { LotId = Guid.CreateVersion7(), Version = 3, WrapsRepeats = [12, null] }, new BallForm { Grams = 96.25m, Fibres = [new() { Code = "WO", Percent = 80 }] });

        BenchDraft back = DraftState.Read<BenchDraft>(DraftState.Write(draft))!;

        Assert.Equal(DraftState.Write(draft), DraftState.Write(back));
        Assert.Equal((draft.RequestId, 3, 96.25m, "WO"), (back.RequestId, back.Form.Version, back.PutAside!.Grams!.Value, back.PutAside.Fibres[0].Code));
    }

    [Theory]
    [InlineData("{\"Form\":{},\"PutAside\":null}")]
    [InlineData("{\"Bags\":null}")]
    [InlineData("{\"Bags\":7}")]
    [InlineData("{\"Kind\":\"Swap\"}")]
    [InlineData("[]")]
    [InlineData("null")]
    public void Invalid_StatesOfOtherForms_AreNoGift(string state) => Assert.Null(DraftState.Read<GiftForm>(state));

    [Theory]
    [InlineData("{}")]
    [InlineData("{\"Form\":null,\"PutAside\":null}")]
    [InlineData("{\"Bags\":[]}")]
    public void Invalid_StatesOfOtherForms_AreNoBench(string state) => Assert.Null(DraftState.Read<BenchDraft>(state));

    [Fact]
    public void Compare_WhenOnlyTheNameOfTheSavingDiffers_SaysTheSame()
    {
        Assert.True(DraftState.Same(new GiftForm(), new GiftForm()));
        Assert.False(DraftState.Same(new GiftForm(), new GiftForm { Notes = "one" }));
        Assert.True(DraftState.Same(new BenchDraft(new BallForm(), null), new BenchDraft(new BallForm(), null)));
    }
}
