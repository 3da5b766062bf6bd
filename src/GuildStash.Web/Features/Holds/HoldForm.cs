using GuildStash.Domain.Codes;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Display;

namespace GuildStash.Web.Features.Holds;

/// <summary>A request while it is being filled in. Which lots it names is kept in the address, the rest here.</summary>
public sealed class HoldForm
{
    public List<LotWish> Lots { get; } = [];

    public Guid? ProjectId { get; set; }

    public Guid? MemberId { get; set; }

    public string? Note { get; set; }

    public decimal? Days { get; set; }

    /// <summary>Codes as they stand in an address: each once, at most as many as a request may have.</summary>
    public static IReadOnlyList<string> Codes(string? address) =>
        [.. (address ?? "").Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries)
            .Select(typed => LotCode.TryParse(typed, out LotCode code) ? code.Value : typed.Length <= 20 ? typed : typed[..20])
            .Distinct().Take(RequestHolds.MostLots)];

    /// <summary>Takes over which lots are wanted and keeps what was typed for those that stay.</summary>
    public void Name(IReadOnlyList<string> codes)
    {
        List<LotWish> named = [.. codes.Select(code => Lots.Find(l => l.Code == code) ?? new LotWish(code))];
        Lots.Clear();
        Lots.AddRange(named);
    }

    /// <summary>Puts the figures beside the lots. A lot seen for the first time is asked for by length where its length is known.</summary>
    public void Show(IReadOnlyList<PreviewedLot> preview)
    {
        foreach ((LotWish wish, PreviewedLot seen) in Lots.Zip(preview))
        {
            wish.InLength = wish.Preview is null ? seen.Lot?.FreeMetresLow is > 0 : wish.InLength;
            wish.Preview = seen;
        }
    }

    public IReadOnlyList<WantedYarn> Wanted(PersonDisplay display) => [.. Lots.Select(l => l.Wanted(display))];

    public HoldInput ToInput(PersonDisplay display) =>
        new(Wanted(display), ProjectId, MemberId, Note, Days is { } days ? (int)Math.Clamp(days, -1, 100_000) : null);

    /// <summary>Puts each refusal beside the lot it speaks of, whatever the use case called the field.</summary>
    public IReadOnlyList<Refusal> BesideLots(IEnumerable<Refusal> refusals, PersonDisplay display) => [.. refusals.Select(refusal =>
    {
        for (int i = 0; i < Lots.Count; i++)
        {
            string prefix = RequestHolds.Prefix(Lots.Count, i);
            if (refusal.Field is { } field && (field == prefix + "lotCode" || field == prefix + "grams" || field == prefix + "metres"))
            {
                return Lots[i].InUnit(refusal, display) with { Field = Lots[i].FieldName };
            }
        }

        return refusal;
    })];
}
