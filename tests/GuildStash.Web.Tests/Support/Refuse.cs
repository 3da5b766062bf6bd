using GuildStash.Domain.Rules;
using Xunit;

namespace GuildStash.Web.Tests.Support;

/// <summary>What was refused, and why.</summary>
public static class Refuse
{
    /// <summary>The single refusal of an outcome that must be one.</summary>
    public static Refusal Only<T>(Outcome<T> outcome)
    {
        Assert.False(outcome.IsOk, "Nothing was refused.");
        return Assert.Single(outcome.Refusals);
    }

    public static void Rule<T>(string rule, Outcome<T> outcome) => Assert.Equal(rule, Only(outcome).Rule);

    public static void Rule<T>(string rule, string? field, Outcome<T> outcome)
    {
        Refusal refusal = Only(outcome);
        Assert.Equal((rule, field), (refusal.Rule, refusal.Field));
    }
}
