using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Tests.Rules;

public class OutcomeTests
{
    [Fact]
    public void Known_Value()
    {
        Outcome<int> outcome = 7;
        Assert.True(outcome.IsOk);
        Assert.Equal(7, outcome.Value);
        Assert.Empty(outcome.Refusals);
        Assert.Throws<InvalidOperationException>(() => outcome.Refusal);
    }

    [Fact]
    public void Known_Refusal()
    {
        Outcome<int> outcome = Refusal.Conflict("not-enough-free", "Only {0} g are free.", 12);
        Assert.False(outcome.IsOk);
        Assert.Equal("not-enough-free", outcome.Refusal.Rule);
        Assert.Contains("Only 12 g are free.", Assert.Throws<InvalidOperationException>(() => outcome.Value).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Known_SeveralRefusals()
    {
        Outcome<int> outcome = Outcome<int>.Refused([Refusal.Invalid("grams", "No."), Refusal.Invalid("metres", "Nor this.")]);
        Assert.Equal(["grams", "metres"], outcome.Refusals.Select(refusal => refusal.Field));
        Assert.Equal("grams", outcome.Refusal.Field);
    }

    [Fact]
    public void Invalid_RefusedWithoutARefusal() => Assert.Throws<ArgumentException>(() => Outcome<int>.Refused([]));

    [Fact]
    public void Known_KindsAndRules()
    {
        Assert.Equal((RefusalKind.Invalid, "invalid-value"), KindAndRule(Refusal.Invalid("grams", "No.")));
        Assert.Equal((RefusalKind.NotFound, "not-found"), KindAndRule(Refusal.NotFound("No.")));
        Assert.Equal((RefusalKind.Forbidden, "not-allowed"), KindAndRule(Refusal.Forbidden("No.")));
        Assert.Equal((RefusalKind.Conflict, "taken"), KindAndRule(Refusal.Conflict("taken", "No.")));
    }

    private static (RefusalKind Kind, string Rule) KindAndRule(Refusal refusal) => (refusal.Kind, refusal.Rule);
}
