using GuildStash.Web.Components.Shared;
using Xunit;

namespace GuildStash.Web.Tests.Components;

public sealed class DepartureTests
{
    [Fact]
    public void Token_WhenTheComponentIsGone_IsThereAndCancelled()
    {
        Departure departure = new();
        CancellationToken before = departure.Token;
        Assert.False(before.IsCancellationRequested);

        departure.Dispose();

        Assert.True(before.IsCancellationRequested);
        Assert.Equal(before, departure.Token);
        bool called = false;
        using CancellationTokenRegistration registration = departure.Token.Register(() => called = true);
        Assert.True(called, "What is asked with it afterwards is called off at once.");
        using CancellationTokenSource linked = CancellationTokenSource.CreateLinkedTokenSource(departure.Token);
        Assert.True(linked.IsCancellationRequested);
    }
}
