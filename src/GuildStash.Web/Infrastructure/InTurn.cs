using Microsoft.AspNetCore.Components.Server.Circuits;

namespace GuildStash.Web.Infrastructure;

/// <summary>
/// Hears all that a browser says in the order in which it was said. The framework takes what was typed or pressed in turn, but the word that a page
/// was drawn at once. Where a busy machine interrupts a circuit just after it has sent what is to be drawn, it then forgets the handlers that were
/// replaced before it has heard what was meant for them: a press or a keystroke is lost ("There is no event handler associated with this event").
/// </summary>
public sealed class InTurn : CircuitHandler
{
    private SynchronizationContext? _circuit;

    public override Task OnCircuitOpenedAsync(Circuit circuit, CancellationToken cancellationToken)
    {
        _circuit = SynchronizationContext.Current;
        return Task.CompletedTask;
    }

    public override Func<CircuitInboundActivityContext, Task> CreateInboundActivityHandler(Func<CircuitInboundActivityContext, Task> next) =>
        activity => _circuit is { } circuit && circuit != SynchronizationContext.Current ? PostAsync(circuit, () => next(activity)) : next(activity);

    private static Task PostAsync(SynchronizationContext circuit, Func<Task> work)
    {
        TaskCompletionSource<Task> begun = new(TaskCreationOptions.RunContinuationsAsynchronously);
        circuit.Post(
            _ =>
            {
                try
                {
                    begun.SetResult(work());
                }
                catch (Exception fault)
                {
                    // The framework's own answer to it is behind this task, not on the circuit.
                    begun.SetException(fault);
                }
            },
            null);
        return begun.Task.Unwrap();
    }
}
