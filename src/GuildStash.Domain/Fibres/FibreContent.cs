using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Fibres;

/// <summary>One fibre of a yarn.</summary>
/// <param name="Code">Code of the fibre table.</param>
/// <param name="Percent">Share of mass as stated on the band, more than 0 and at most 100; null when no share is known. Never a guess.</param>
public sealed record FibreShare(string Code, decimal? Percent = null);

/// <summary>
/// What a yarn is made of. Empty means not known, which is a full answer. Either every share has its percentage and they come to
/// 100, or none has one.
/// </summary>
public sealed record FibreContent
{
    private const string Field = "fibres";

    private FibreContent(IReadOnlyList<FibreShare> shares, IReadOnlyList<Fibre> fibres) => (Shares, Fibres) = (shares, fibres);

    /// <summary>Nothing is known of the fibres.</summary>
    public static FibreContent Unknown { get; } = new([], []);

    /// <summary>Largest share first; in the order given when no share is known. Codes are in capitals.</summary>
    public IReadOnlyList<FibreShare> Shares { get; }

    /// <summary>The fibres of <see cref="Shares"/>, in the same order.</summary>
    public IReadOnlyList<Fibre> Fibres { get; }

    public bool IsUnknown => Fibres.Count == 0;

    /// <summary>Wool, hair or silk is among the fibres; false when they are not known.</summary>
    public bool HasAnimal => Fibres.Any(fibre => fibre.Kind == FibreKind.Animal);

    /// <summary>Sheep's wool is among the fibres; false when they are not known.</summary>
    public bool HasWool => Fibres.Any(fibre => fibre.IsWool);

    public bool HasMetallic => Fibres.Any(fibre => fibre.Kind == FibreKind.Metallic);

    /// <summary>Larvae may feed on it: a fibre among them attracts pests, or the fibres are not known.</summary>
    public bool MayFeedPests => IsUnknown || Fibres.Any(fibre => fibre.AttractsPests);

    /// <returns>The content, or one refusal for each broken rule, with field "fibres".</returns>
    public static Outcome<FibreContent> Create(IEnumerable<FibreShare>? shares)
    {
        List<Refusal> refusals = [];
        List<(FibreShare Share, Fibre Fibre)> known = [];
        // One more than there are fibres must hold an unknown or a repeated one, so that a longer list needs no reading.
        foreach (FibreShare? share in (shares ?? []).Take(FibreTable.All.Count + 1))
        {
            if (share is null || !FibreTable.TryFind(share.Code, out Fibre? fibre))
            {
                refusals.Add(Refusal.Invalid(Field, "\"{0}\" is not a known fibre code. Known are {1}; leave the fibres empty when they are not known.", Shortened(share?.Code), string.Join(", ", FibreTable.All.Select(each => each.Code))));
            }
            else if (known.Any(each => each.Fibre == fibre))
            {
                refusals.Add(Refusal.Invalid(Field, "{0} is there twice: give each fibre once, with its whole share.", fibre.Code));
            }
            else
            {
                known.Add((share with { Code = fibre.Code }, fibre));
            }
        }

        if (refusals.Count == 0 && PercentageRefusal([.. known.Select(each => each.Share.Percent)]) is { } refusal)
        {
            refusals.Add(refusal);
        }

        if (refusals.Count > 0)
        {
            return Outcome<FibreContent>.Refused(refusals);
        }

        known = [.. known.OrderByDescending(each => each.Share.Percent)];
        return new FibreContent([.. known.Select(each => each.Share)], [.. known.Select(each => each.Fibre)]);
    }

    /// <summary>
    /// The content in words, for instance "80 % wool, 20 % polyamide"; percentages only where the band gave them, and
    /// "believed to be" before everything that was not seen on a band.
    /// </summary>
    public Phrase Describe(FibreBasis basis)
    {
        if (IsUnknown)
        {
            return new Phrase("fibre not known");
        }

        Phrase list = Shares
            .Zip(Fibres, (share, fibre) => share.Percent is { } percent ? new Phrase("{0:0.##} % {1}", percent, fibre.Name) : fibre.Name)
            .Aggregate((soFar, next) => new Phrase("{0}, {1}", soFar, next));
        return basis == FibreBasis.BandSeen ? list : new Phrase("believed to be {0}", list);
    }

    public bool Equals(FibreContent? other) => other is not null && Shares.SequenceEqual(other.Shares);

    public override int GetHashCode() => Shares.Aggregate(0, HashCode.Combine);

    private static Refusal? PercentageRefusal(decimal?[] percents)
    {
        decimal[] given = [.. percents.OfType<decimal>()];
        if (given.Length == 0)
        {
            return null;
        }

        if (given.Any(percent => percent is <= 0 or > 100))
        {
            return Refusal.Invalid(Field, "A share of {0} %: more than 0 and at most 100 is allowed.", given.First(percent => percent is <= 0 or > 100));
        }

        if (given.Length < percents.Length)
        {
            return Refusal.Invalid(Field, "{0} of {1} fibres have a percentage: give it for all as the band does, or for none.", given.Length, percents.Length);
        }

        return given.Sum() == 100
            ? null
            : Refusal.Invalid(Field, "The percentages come to {0}, not 100: copy them from the band, or leave them all out.", given.Sum());
    }

    private static string Shortened(string? code) => code is { Length: > 24 } ? code[..24] + "…" : code ?? "";
}
