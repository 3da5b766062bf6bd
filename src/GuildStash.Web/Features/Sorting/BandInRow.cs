using GuildStash.Domain.Bands;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Measuring;

namespace GuildStash.Web.Features.Sorting;

/// <summary>
/// Puts what a band says into a ball's fields, and takes it back. A field that a person changed meanwhile is theirs: it is neither
/// emptied nor set back.
/// </summary>
public sealed class BandInRow
{
    private readonly List<Action<BallForm>> _back = [];

    /// <summary>Whether there is something to take back.</summary>
    public bool HasFilled => _back.Count > 0;

    /// <summary>Takes back what earlier words had filled, and fills in what these say.</summary>
    /// <returns>The words as read, and what they leave open without an answer.</returns>
    public (Outcome<BandText> Read, IReadOnlyList<BandQuestion> Asked) Fill(BallForm form)
    {
        TakeBack(form);
        (Outcome<BandText> read, IReadOnlyList<BandQuestion> asked) = Read(form);
        if (read.IsOk)
        {
            Put(form, BandFill.Of(read.Value));
        }

        return (read, asked);
    }

    /// <summary>Reads without filling, for a form that was taken up again.</summary>
    public static (Outcome<BandText> Read, IReadOnlyList<BandQuestion> Asked) Read(BallForm form)
    {
        Outcome<BandText> unanswered = BandText.Parse(form.BandWords);
        return (BandText.Parse(form.BandWords, new BandTextOptions(form.Country, form.System, form.CountIsResultant ? CountNotation.Resultant : CountNotation.Singles)), unanswered.IsOk ? unanswered.Value.Questions : []);
    }

    /// <summary>Gives the fields back what they held before.</summary>
    public void TakeBack(BallForm form)
    {
        foreach (Action<BallForm> back in _back)
        {
            back(form);
        }

        _back.Clear();
    }

    private void Put(BallForm form, BandFill said)
    {
        // A length without its mass would have the ball refused, though the person typed neither.
        if (said is { Length: { } length, Grams: { } grams })
        {
            Put(form, f => (f.BandLength, f.BandUnit, f.BandGrams), (f, v) => (f.BandLength, f.BandUnit, f.BandGrams) = v, (length, said.Unit, (decimal?)grams));
        }

        if (said.Gauge is { } gauge)
        {
            Put(form, f => f.GaugeStitches, (f, v) => f.GaugeStitches = v, gauge);
        }

        if (said.WeightClass is { } weight)
        {
            Put(form, f => f.WeightClass, (f, v) => f.WeightClass = v, weight);
        }

        if (said.MachineWashable is { } washable)
        {
            Put(form, f => f.MachineWashable, (f, v) => f.MachineWashable = v, washable ? Tristate.Yes : Tristate.No);
        }

        if (said.MaxCelsius is { } celsius)
        {
            Put(form, f => f.MaxCelsius, (f, v) => f.MaxCelsius = v, celsius);
        }

        if (said.NamedMetresPer100Grams is { } named)
        {
            Put(form, f => f.NamedMetresPer100g, (f, v) => f.NamedMetresPer100g = v, named);
        }

        PutText(form, said.Count, f => f.YarnCount, (f, v) => f.YarnCount = v);
        PutText(form, said.DyeLot, f => f.DyeLot, (f, v) => f.DyeLot = v);
        PutText(form, said.Care, f => f.CareNotes, (f, v) => f.CareNotes = v);
        if (said.Fibres.Count > 0)
        {
            PutFibres(form, [.. said.Fibres.Select(share => new FibreForm { Code = share.Code, Percent = share.Percent })]);
        }
    }

    private void PutText(BallForm form, string said, Func<BallForm, string?> get, Action<BallForm, string?> set)
    {
        if (said.Length > 0)
        {
            Put(form, get, set, said);
        }
    }

    private void PutFibres(BallForm form, List<FibreForm> said)
    {
        List<FibreForm> copy = [.. said.Select(fibre => fibre with { })];
        (List<FibreForm> before, FibreBasis basis) = (form.Fibres, form.FibreBasis);
        (form.Fibres, form.FibreBasis) = (said, FibreBasis.BandSeen);
        _back.Add(f =>
        {
            if (f.Fibres.SequenceEqual(copy))
            {
                (f.Fibres, f.FibreBasis) = (before, basis);
            }
        });
    }

    private void Put<T>(BallForm form, Func<BallForm, T> get, Action<BallForm, T> set, T said)
    {
        T before = get(form);
        set(form, said);
        _back.Add(f =>
        {
            if (EqualityComparer<T>.Default.Equals(get(f), said))
            {
                set(f, before);
            }
        });
    }
}
