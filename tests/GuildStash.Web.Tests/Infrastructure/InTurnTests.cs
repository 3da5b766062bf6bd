#pragma warning disable BL0006 // The renderer itself is what is asked here.
using GuildStash.Web.Infrastructure;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Rendering;
using Microsoft.AspNetCore.Components.RenderTree;
using Microsoft.AspNetCore.Components.Server.Circuits;
using Microsoft.AspNetCore.Components.Web;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using Xunit;

namespace GuildStash.Web.Tests.Infrastructure;

/// <summary>What a browser says is heard in its order, also where the circuit is interrupted while it draws.</summary>
public sealed class InTurnTests
{
    /// <summary>The browser's press was on its way when the page was drawn anew; both its words are there before the circuit goes on.</summary>
    [Fact]
    public async Task Press_WhenSentBeforeThePageWasDrawnAnew_IsHeard()
    {
        InTurn inTurn = new();
        await using InterruptedRenderer renderer = new(inTurn);
        Presses page = new();
        await renderer.Dispatcher.InvokeAsync(async () =>
        {
            await inTurn.OnCircuitOpenedAsync(null!, CancellationToken.None);
            await renderer.ShowAsync(page);
        });

        await renderer.Dispatcher.InvokeAsync(() => renderer.DrawAgain(page));
        await renderer.Pressed!;

        Assert.Equal(1, page.Heard);
    }

    [Fact]
    public async Task Fault_WhenHearingFails_ReachesWhoAsked()
    {
        InTurn inTurn = new();
        Dispatcher circuit = Dispatcher.CreateDefault();
        await circuit.InvokeAsync(() => inTurn.OnCircuitOpenedAsync(null!, CancellationToken.None));

        InvalidOperationException late = await Assert.ThrowsAsync<InvalidOperationException>(() => inTurn.CreateInboundActivityHandler(async _ =>
        {
            await Task.Yield();
            throw new InvalidOperationException("late");
        })(null!));
        InvalidOperationException atOnce = await Assert.ThrowsAsync<InvalidOperationException>(() => inTurn.CreateInboundActivityHandler(_ => throw new InvalidOperationException("at once"))(null!));

        Assert.Equal(("late", "at once"), (late.Message, atOnce.Message));
    }

    [Fact]
    public void Circuit_OfTheApplication_HearsInTurn()
    {
        WebApplicationBuilder builder = WebApplication.CreateEmptyBuilder(new WebApplicationOptions());
        builder.AddGuildStash(new AppSettings("Host=nowhere.example.org", null));

        Assert.Contains(builder.Services, service => service.ServiceType == typeof(CircuitHandler) && service.ImplementationType == typeof(InTurn));
    }

    /// <summary>A button whose handler is another one each time it is drawn.</summary>
    private sealed class Presses : ComponentBase
    {
        public int Heard { get; private set; }

        public void Draw() => StateHasChanged();

        protected override void BuildRenderTree(RenderTreeBuilder builder)
        {
            int drawn = Heard;
            builder.OpenElement(0, "button");
            builder.AddAttribute(1, "onclick", EventCallback.Factory.Create<MouseEventArgs>(this, () => Heard = drawn + 1));
            builder.CloseElement();
        }
    }

    /// <summary>As a circuit's renderer on a machine that interrupts it right after each send.</summary>
    private sealed class InterruptedRenderer(InTurn inTurn) : Renderer(new ServiceCollection().BuildServiceProvider(), NullLoggerFactory.Instance)
    {
        private ulong _handler;
        private bool _again;

        public override Dispatcher Dispatcher { get; } = Dispatcher.CreateDefault();

        /// <summary>Ends once the press was heard.</summary>
        public Task? Pressed { get; private set; }

        public Task ShowAsync(Presses page) => RenderRootComponentAsync(AssignRootComponentId(page));

        public void DrawAgain(Presses page)
        {
            _again = true;
            page.Draw();
        }

        protected override Task UpdateDisplayAsync(in RenderBatch batch)
        {
            if (!_again)
            {
                _handler = batch.ReferenceFrames.Array.Take(batch.ReferenceFrames.Count).Max(frame => frame.FrameType == RenderTreeFrameType.Attribute ? frame.AttributeEventHandlerId : 0);
                return Task.CompletedTask;
            }

            _again = false;
            TaskCompletionSource drawn = new();
            using Barrier interrupted = new(2);
            ThreadPool.QueueUserWorkItem(
                _ =>
                {
                    Pressed = Say(() => Dispatcher.InvokeAsync(() => DispatchEventAsync(_handler, null, new MouseEventArgs())));
                    Say(() =>
                    {
                        drawn.SetResult();
                        return Task.CompletedTask;
                    });
                    interrupted.SignalAndWait();
                },
                null);
            interrupted.SignalAndWait();
            return drawn.Task;
        }

        protected override void HandleException(Exception exception) => throw exception;

        private Task Say(Func<Task> work) => inTurn.CreateInboundActivityHandler(_ => work())(null!);
    }
}
