using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Relotting;

/// <summary>What lots are together: where they differ, the more cautious word holds for all of them, and a sentence says so.</summary>
internal static class Together
{
    public static MergedLot Of(IReadOnlyList<MergeLot> lots)
    {
        List<Widening> widened = [];
        MergeTraits left = lots[0].Traits;
        MergeTraits merged = left with
        {
            Count = lots.Sum(l => l.Traits.Count),
            ScaleDivisionMg = WeighingsTogether.Division([.. lots.Select(l => l.Traits.ScaleDivisionMg)]),
            Conditions = ConditionRules.Together([.. lots.Select(l => l.Traits.Conditions)]),
        };
        merged = Washing(Fibre(Colour(Dye(merged, lots, widened), lots, widened), lots, widened), lots, widened);
        Noted(merged, lots, widened);
        merged = LengthTogether.Of(merged, lots, widened);
        if (Differ(lots, l => l.Wishes.Trim()))
        {
            widened.Add(new("wishes", new("Their donors wished different things. All of it stays noted on the lot, and all of it holds.")));
        }

        return new MergedLot(merged, widened);
    }

    internal static bool Differ<T>(IReadOnlyList<MergeLot> lots, Func<MergeLot, T> trait) => lots.Select(trait).Distinct().Count() > 1;

    private static MergeTraits Dye(MergeTraits merged, IReadOnlyList<MergeLot> lots, List<Widening> widened)
    {
        if (!Differ(lots, l => l.Traits.DyeLot.Trim().ToUpperInvariant()))
        {
            return merged;
        }

        widened.Add(new("dyeLot", new("Their dye lots differ ({0}). The lot has no one dye lot any more: knitted side by side, the shades may show.", string.Join(", ", lots.Select(l => l.Traits.DyeLot.Trim() is { Length: > 0 } dye ? dye : "—").Distinct()))));
        return merged with { DyeLot = "" };
    }

    private static MergeTraits Colour(MergeTraits merged, IReadOnlyList<MergeLot> lots, List<Widening> widened)
    {
        if (Differ(lots, l => (l.Traits.ColourFamily, l.Traits.Multicolour)))
        {
            if (lots.Any(l => l.Traits.ColourFamily is null))
            {
                widened.Add(new("colour", new("The colour of some of it was not noted. Of the lot, none is noted any more.")));
                return merged with { ColourFamily = null, ColourHex = null, Multicolour = false };
            }

            widened.Add(new("colour", new("Their colours differ. The lot counts as multicolour.")));
            return merged with { ColourFamily = ColourFamily.Multicolour, ColourHex = null, Multicolour = true };
        }

        if (Differ(lots, l => l.Traits.ColourHex))
        {
            widened.Add(new("shade", new("Their shades differ a little. The lot shows the shade of {0}.", lots[0].Code)));
        }

        return merged;
    }

    private static MergeTraits Fibre(MergeTraits merged, IReadOnlyList<MergeLot> lots, List<Widening> widened)
    {
        if (lots.Any(l => l.Traits.Fibres.IsUnknown) && lots.Any(l => !l.Traits.Fibres.IsUnknown))
        {
            widened.Add(new("fibres", new("The fibres of some of it are not known. Those of the lot are not known any more.")));
            return merged with { Fibres = FibreContent.Unknown, FibreBasis = FibreBasis.Unknown };
        }

        if (Differ(lots, l => string.Join(' ', l.Traits.Fibres.Shares.OrderBy(s => s.Code, StringComparer.Ordinal).Select(s => $"{s.Code}{s.Percent}"))))
        {
            widened.Add(new("fibres", new("The shares of their fibres differ. The lot keeps the fibres without shares.")));
            merged = merged with { Fibres = FibreContent.Create(lots[0].Traits.Fibres.Shares.Select(s => new FibreShare(s.Code))).Value };
        }

        if (Differ(lots, l => l.Traits.FibreBasis))
        {
            FibreBasis least = lots.Min(l => l.Traits.FibreBasis);
            widened.Add(new("fibreBasis", new("How their fibres are known differs. For the lot the least certain holds: {0}.", least.Name())));
            merged = merged with { FibreBasis = least };
        }

        return merged;
    }

    private static MergeTraits Washing(MergeTraits merged, IReadOnlyList<MergeLot> lots, List<Widening> widened)
    {
        if (Differ(lots, l => l.Traits.MachineWashable))
        {
            widened.Add(new("washable", new("Not all of it is known to be washable, or not to be. Of the lot it is not known any more.")));
            merged = merged with { MachineWashable = Tristate.Unknown };
        }

        if (Differ(lots, l => l.Traits.Softness))
        {
            widened.Add(new("softness", new("They were found differently soft. Of the lot it is not known any more.")));
            merged = merged with { Softness = Softness.Unknown };
        }

        return merged;
    }

    private static void Noted(MergeTraits merged, IReadOnlyList<MergeLot> lots, List<Widening> widened)
    {
        if (!Differ(lots, l => l.Traits.Conditions))
        {
            return;
        }

        widened.Add(new("conditions", merged.Conditions.HasFlag(Conditions.Mothball)
            ? new("A mothball smell is noted on some of it. It stays noted on all of it: none of it goes to infant or hospital projects any more.")
            : new("What is noted on some of it (smoke, pet hair, perfume) is noted on all of it.")));
    }
}
