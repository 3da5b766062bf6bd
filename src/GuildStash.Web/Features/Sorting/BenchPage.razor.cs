using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Counting;
using GuildStash.Web.Features.Drafts;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Components;

namespace GuildStash.Web.Features.Sorting;

/// <summary>Sorting of one bag: each act is one use case, after which the bag is read anew.</summary>
public partial class BenchPage
{
    /// <summary>So few that the row of the ball in hand stands on the first screen.</summary>
    private const int FirstShown = 5;
    private const int Step = 50;

    private BallForm _form = new();
    private BallForm _blank = new();
    private DraftKeeper<BenchDraft>? _drafts;
    private Guid _formFor;
    private BallForm? _putAside;
    private BallDesk? _desk;
    private LotView? _weighing;
    private LotView? _saved;
    private IReadOnlyList<Refusal>? _refusals;
    private string? _said;
    private bool _closing;
    private ScaleView? _scale;
    private int _shown = FirstShown;

    [Parameter]
    public Guid BagId { get; set; }

    /// <summary>The bag as it was read last; kept from the first rendering, so that the page neither flickers nor is read twice.</summary>
    [PersistentState]
    public Bench? Read { get; set; }

    [Inject]
    private BenchReader Benches { get; set; } = default!;

    [Inject]
    private AddLot Add { get; set; } = default!;

    [Inject]
    private EditLot Edit { get; set; } = default!;

    [Inject]
    private UndoLot Undo { get; set; } = default!;

    [Inject]
    private IdempotencySlot Once { get; set; } = default!;

    [Inject]
    private SignedIn Me { get; set; } = default!;

    protected override async Task OnParametersSetAsync()
    {
        if (Read?.BagId != BagId)
        {
            await ReadAsync();
        }

        if (Read is { } bench && _formFor != BagId)
        {
            (_formFor, _putAside) = (BagId, null);
            TakeBlank(BallForm.First(bench, Display.Unit));
        }
    }

    /// <summary>A new ball in the row or put aside for a correction. A correction alone is no ball: its lot is in the books.</summary>
    private bool HasUnsavedBall => _putAside is not null || (_form.LotId is null && DraftState.Write(_form) != DraftState.Write(_blank));

    private void TakeBlank(BallForm form) => (_form, _blank) = (form, DraftState.Read<BallForm>(DraftState.Write(form))!);

    /// <summary>The scale goes with the bench, not with the ball: choosing it leaves no ball unsaved.</summary>
    private void TakeScale(ScaleView? scale)
    {
        _scale = scale;
        foreach (BallForm form in new[] { _form, _blank }.Where(f => f.LotId is null))
        {
            (form.ScaleId, form.ScaleDivisionGrams) = (scale?.Id, scale?.DivisionMg / 1000m ?? form.ScaleDivisionGrams);
        }
    }

    private BenchDraft Blank() => new(DraftState.Read<BallForm>(DraftState.Write(_blank))!.AsNew(), null);

    private void TakeUp(BenchDraft draft) => (_form, _putAside, _refusals, _said, _saved) = (draft.Form, draft.PutAside, null, null, null);

    private async Task ReadAsync()
    {
        Outcome<Bench> bench = await Benches.OneAsync(await Me.IdAsync(), BagId, _shown, CancellationToken.None);
        Read = bench.IsOk ? bench.Value : null;
        _refusals = bench.IsOk ? null : bench.Refusals;
    }

    private Task SaveAsync() => _drafts!.SubmitAsync(SubmitAsync);

    private async Task<bool> SubmitAsync()
    {
        Outcome<LotInput> input = _form.ToInput(Read!.Policy, Read.QuarantineReason);
        if (!input.IsOk)
        {
            _refusals = input.Refusals;
            return false;
        }

        Outcome<LotView> saved = await WriteAsync(await Me.IdAsync(), input.Value);
        if (!saved.IsOk)
        {
            _refusals = [.. saved.Refusals.Select(_form.Beside)];
            _form.RequestId = RequestOnce.After(_form.RequestId, saved.Refusals);
            return false;
        }

        if (_form.LotId is null)
        {
            _said = L["{0} lies in bin {1}.", saved.Value.Display, saved.Value.BinDisplay];
            _saved = saved.Value;
            TakeBlank(_form.Next());
        }
        else
        {
            _said = L["{0} was changed.", saved.Value.Display];
            _saved = null;
            TakeBack();
        }

        await ReadAsync();
        _desk?.FocusFirst();
        return true;
    }

    private Task<Outcome<LotView>> WriteAsync(Guid by, LotInput input)
    {
        if (_form.LotId is { } lotId)
        {
            return Edit.RunAsync(by, lotId, _form.Version, input, DraftKeys.Ball(BagId), CancellationToken.None);
        }

        Once.ArmFor("page:/sorting", _form.RequestId, input);
        return Add.RunAsync(by, BagId, input, DraftKeys.Ball(BagId), CancellationToken.None);
    }

    private void EditLot(LotView lot)
    {
        _putAside ??= _form.LotId is null ? _form : null;
        _form = BallForm.From(lot);
        (_refusals, _said, _saved) = (null, null, null);
        _desk?.FocusFirst();
    }

    private void LeaveEdit()
    {
        TakeBack();
        _refusals = null;
        _desk?.FocusFirst();
    }

    /// <summary>After a correction: the new ball that was put aside for it, or a blank one.</summary>
    private void TakeBack()
    {
        if (_putAside is { } ball)
        {
            (_form, _putAside) = (ball, null);
        }
        else
        {
            TakeBlank(_form.Next());
        }
    }

    /// <summary>Somebody else was faster: shows the lot as it is now, to be changed again.</summary>
    private async Task ReloadAsync()
    {
        Guid? lotId = _form.LotId;
        await ReadAsync();
        if (Read?.Latest.FirstOrDefault(l => l.Id == lotId) is { } lot)
        {
            EditLot(lot);
        }
        else
        {
            LeaveEdit();
        }
    }

    /// <summary>Takes the lot back; what was entered for it stands in the row again unless another ball does.</summary>
    private async Task UndoAsync(LotView lot)
    {
        Outcome<bool> undone = await Undo.RunAsync(await Me.IdAsync(), lot.Id, CancellationToken.None);
        if (!undone.IsOk)
        {
            await ShowAsItIsAsync(lot, undone.Refusal);
            return;
        }

        bool rowIsFree = _form.LotId is not null || _form is { Grams: null, WrapsCount: null };
        if (rowIsFree)
        {
            (_form, _putAside) = (BallForm.From(lot).AsNew(), null);
        }

        _said = rowIsFree
            ? L["{0} was taken back into the bag; its label is void. Correct the row and save it anew.", lot.Display]
            : L["{0} was taken back into the bag; its label is void.", lot.Display];
        _saved = null;
        await ReadAsync();
        _desk?.FocusFirst();
    }

    /// <summary>What can't be undone stands otherwise in the books than on the page: another tab or person was faster. The list follows.</summary>
    private async Task ShowAsItIsAsync(LotView lot, Refusal why)
    {
        _weighing = _weighing?.Id == lot.Id ? null : _weighing;
        _saved = _saved?.Id == lot.Id ? null : _saved;
        if (_form.LotId == lot.Id)
        {
            TakeBack();
        }

        await ReadAsync();
        bool isGone = why.Rule == UndoLot.AlreadyUndone;
        _said = isGone ? L["{0} is gone already: it was taken back into the bag, perhaps in another window. The list is as it stands now.", lot.Display].Value : null;
        if (!isGone && Read is not null)
        {
            _refusals = [why];
        }
    }

    private async Task WeighedAsync(WeighedLot weighed)
    {
        (_weighing, _saved) = (null, null);
        _said = weighed.ApprovalId is null
            ? L["{0} was weighed: {1}.", weighed.Lot.Display, Display.Mass(weighed.Lot.OnHandMg ?? 0)]
            : L["Somebody else weighed {0} meanwhile. This weight is far from the books and waits for a second person.", weighed.Lot.Display];
        await ReadAsync();
        _desk?.FocusFirst();
    }

    private async Task ClosedAsync(string said)
    {
        (_closing, _said, _saved) = (false, said, null);
        await ReadAsync();
    }

    private async Task ShowEarlierAsync()
    {
        _shown = Math.Min(_shown + Step, PageRequest.LargestPageSize);
        await ReadAsync();
    }
}
