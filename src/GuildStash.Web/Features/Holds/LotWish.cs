using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Display;

namespace GuildStash.Web.Features.Holds;

/// <summary>One lot of a request while it is being filled in.</summary>
public sealed class LotWish(string code)
{
    /// <summary>As it stands in the address: without hyphen where it is a code.</summary>
    public string Code { get; } = code;

    public decimal? Amount { get; set; }

    /// <summary>True: the amount is a length in the person's unit; false: grams.</summary>
    public bool InLength { get; set; }

    public PreviewedLot? Preview { get; set; }

    /// <summary>Name of the one field in which all that is refused of this lot is shown.</summary>
    public string FieldName => $"amount-{Code}";

    public WantedYarn Wanted(PersonDisplay display) => new(
        Code, InLength ? null : Amount, InLength && Amount is { } length ? display.ToMetres((double)length) : null);

    /// <summary>The refusal in the person's unit: the rule speaks metres, since it can't know who reads.</summary>
    public Refusal InUnit(Refusal refusal, PersonDisplay display) =>
        refusal.Rule == "not-enough-free" && InLength && Amount is { } asked && Preview?.Lot is { FreeMetresLow: { } free } lot
            ? refusal with
            {
                Sentence = new Phrase("{0} of lot {1} were asked for, and {2} are surely free. Ask for less, or choose a second lot.",
                    display.Length(display.ToMetres((double)asked)), lot.Display, display.LengthAtLeast(free)),
            }
            : refusal;
}
