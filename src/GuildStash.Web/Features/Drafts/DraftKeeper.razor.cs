using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Security;
using Microsoft.AspNetCore.Components;
using Microsoft.JSInterop;

namespace GuildStash.Web.Features.Drafts;

/// <summary>What the browser kept of a form because no server confirmed it.</summary>
/// <param name="RequestId">The form it was typed into.</param>
/// <param name="At">Time of the last keystroke by the browser's clock, in milliseconds since 1970.</param>
public sealed record BrowserCopy(string? RequestId, double At);

/// <summary>Saves one form's state whenever the browser says that something was typed, and restores it when the page opens.</summary>
public sealed partial class DraftKeeper<T>
{
    private DotNetObjectReference<DraftKeeper<T>>? _self;
    private string? _saved;
    private bool _held;
    private bool _keeping;
    private Task _saving = Task.CompletedTask;
    private DateTimeOffset? _since;
    private IReadOnlyList<Refusal> _refusals = [];

    /// <summary>Name of the form, see <see cref="DraftKeys"/>.</summary>
    [Parameter, EditorRequired]
    public string FormKey { get; set; } = "";

    /// <summary>The form element's id.</summary>
    [Parameter, EditorRequired]
    public string FormId { get; set; } = "";

    /// <summary>Version of <typeparamref name="T"/>'s shape; raise it when an older state would mean something else.</summary>
    [Parameter]
    public int Version { get; set; } = 1;

    /// <summary>The form as it stands.</summary>
    [Parameter, EditorRequired]
    public Func<T> State { get; set; } = default!;

    /// <summary>The form as it is before anything is typed; a form that says the same is not kept.</summary>
    [Parameter, EditorRequired]
    public Func<T> Blank { get; set; } = default!;

    /// <summary>The sentence of the banner, from the time of the last change.</summary>
    [Parameter, EditorRequired]
    public Func<string, string> Offer { get; set; } = default!;

    /// <summary>Takes up a form that was kept, or a blank one.</summary>
    [Parameter]
    public EventCallback<T> OnTakeUp { get; set; }

    [Inject]
    private SaveDraft Save { get; set; } = default!;

    [Inject]
    private ReadDraft Find { get; set; } = default!;

    [Inject]
    private DiscardDraft Discard { get; set; } = default!;

    [Inject]
    private SignedIn Me { get; set; } = default!;

    [Inject]
    private PersonDisplay Display { get; set; } = default!;

    [Inject]
    private TimeProvider Clock { get; set; } = default!;

    [Inject]
    private IJSRuntime Js { get; set; } = default!;

    /// <summary>Called by the browser after typing paused, a field was left or a button pressed; all of it was heard before.</summary>
    /// <returns>Whether everything typed so far is safe.</returns>
    [JSInvokable]
    public async Task<bool> SaveAsync()
    {
        if (_held)
        {
            return false;
        }

        Task<bool> saving = SaveStateAsync(State());
        _saving = saving;
        return await saving;
    }

    /// <summary>Submits the form while nothing of it is saved as a draft any more, which would bring it back.</summary>
    /// <param name="submit">Submits and says whether that was done; it has put the next form in place by then.</param>
    public async Task SubmitAsync(Func<Task<bool>> submit)
    {
        _held = true;
        try
        {
            await Task.WhenAny(_saving);
            if (!await submit())
            {
                return;
            }

            (_saved, _since, _refusals) = (null, null, []);
            await Js.InvokeVoidAsync("guildStashDrafts.forget", FormId);
        }
        finally
        {
            _held = false;
        }

        await SaveAsync();
    }

    public void Dispose() => _self?.Dispose();

    protected override async Task OnAfterRenderAsync(bool firstRender)
    {
        if (!firstRender)
        {
            return;
        }

        _self = DotNetObjectReference.Create(this);
        Guid by = await Me.IdAsync();
        BrowserCopy? copy = await Js.InvokeAsync<BrowserCopy?>("guildStashDrafts.open", FormId, $"{by}:{FormKey}", _self);
        await RestoreAsync(by, copy);
    }

    private async Task RestoreAsync(Guid by, BrowserCopy? copy)
    {
        Outcome<KeptDraft?> found = await Find.RunAsync(by, FormKey, Version, CancellationToken.None);
        KeptDraft? kept = found.IsOk ? found.Value : null;
        T? form = kept is null ? null : DraftState.Read<T>(kept.State);
        if (form is not null && await WasSubmittedAsync(by, form.RequestId))
        {
            form = null;
        }

        if (form is not null)
        {
            (_saved, _since) = (DraftState.Write(form), kept!.SavedAt);
            await OnTakeUp.InvokeAsync(form);
        }

        bool replay = copy is not null && Guid.TryParse(copy.RequestId, out Guid request) && await BelongsAsync(by, request, form);
        if (replay)
        {
            DateTimeOffset typed = DateTimeOffset.FromUnixTimeMilliseconds((long)Math.Clamp(copy!.At, 0, Clock.GetUtcNow().ToUnixTimeMilliseconds()));
            _since = _since > typed ? _since : typed;
        }

        StateHasChanged();
        await Js.InvokeVoidAsync("guildStashDrafts.begin", FormId, replay);
        _keeping = true;
        StateHasChanged();
    }

    /// <summary>
    /// Whether the browser's copy goes on from what the server kept. One of a form that was submitted or thrown away elsewhere does not;
    /// one of which the server never heard makes the blank form its own.
    /// </summary>
    private async Task<bool> BelongsAsync(Guid by, Guid request, T? form)
    {
        if (form is not null)
        {
            return form.RequestId == request;
        }

        if (await WasSubmittedAsync(by, request))
        {
            return false;
        }

        State().RequestId = request;
        return true;
    }

    private async Task<bool> WasSubmittedAsync(Guid by, Guid request) =>
        await Find.WasSubmittedAsync(by, request, CancellationToken.None) is not { IsOk: true, Value: false };

    private async Task<bool> SaveStateAsync(T form)
    {
        string state = DraftState.Write(form);
        if (state == _saved)
        {
            return true;
        }

        Guid by = await Me.IdAsync();
        if (DraftState.Same(form, Blank()))
        {
            bool nothing = _saved is null || (await Discard.RunAsync(by, FormKey, CancellationToken.None)).IsOk;
            _saved = nothing ? null : _saved;
            return nothing;
        }

        Outcome<DateTimeOffset> saved = await Save.RunAsync(by, FormKey, Version, state, CancellationToken.None);
        _saved = saved.IsOk ? state : _saved;
        if (_refusals.Count > 0 || !saved.IsOk)
        {
            _refusals = saved.Refusals;
            StateHasChanged();
        }

        return saved.IsOk;
    }

    private async Task ContinueAsync()
    {
        _since = null;
        await Js.InvokeVoidAsync("guildStashDrafts.focus", FormId);
    }

    private async Task StartAfreshAsync()
    {
        _held = true;
        try
        {
            await Task.WhenAny(_saving);
            Outcome<bool> gone = await Discard.RunAsync(await Me.IdAsync(), FormKey, CancellationToken.None);
            _refusals = gone.Refusals;
            if (!gone.IsOk)
            {
                return;
            }

            (_saved, _since) = (null, null);
            await OnTakeUp.InvokeAsync(Blank());
            await Js.InvokeVoidAsync("guildStashDrafts.forget", FormId);
            await Js.InvokeVoidAsync("guildStashDrafts.focus", FormId);
        }
        finally
        {
            _held = false;
        }
    }
}
