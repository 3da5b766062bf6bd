using Xunit;

namespace GuildStash.Browser.Tests.Faults;

/// <summary>Tests that break things: one after the other, beside those that break nothing, since they wait as often as they work.</summary>
[CollectionDefinition(Name)]
public sealed class OneAtATime
{
    public const string Name = "one at a time";
}
