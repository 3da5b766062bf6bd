using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Tests;

internal static class Refused
{
    /// <summary>Asserts one refusal of an invalid value, with its field and a sentence that tells the value and what is allowed.</summary>
    public static void With<T>(Outcome<T> outcome, string field, params string[] told)
    {
        Assert.False(outcome.IsOk);
        Refusal refusal = Assert.Single(outcome.Refusals);
        Assert.Equal(RefusalKind.Invalid, refusal.Kind);
        Assert.Equal(field, refusal.Field);
        Assert.All(told, part => Assert.Contains(part, refusal.ToString(), StringComparison.Ordinal));
    }
}
