using Xunit;

namespace GuildStash.Web.Tests.Faults;

/// <summary>Tests that take all of the machine: they run by themselves, after the others.</summary>
[CollectionDefinition(Name, DisableParallelization = true)]
public sealed class OneAtATime
{
    public const string Name = "one at a time";
}
