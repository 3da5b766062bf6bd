using GuildStash.Domain.Fibres;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.Relotting;

/// <summary>Which lots may become one.</summary>
public static class MergeRules
{
    public const int FewestLots = 2;

    /// <summary>More lots at once can't be looked at together by whoever approves (a judgement).</summary>
    public const int MostLots = 10;

    /// <param name="lots">The lot that is left comes first.</param>
    /// <returns>The lot that they make, or a refusal for each rule that is broken.</returns>
    public static Outcome<MergedLot> Merge(IReadOnlyList<MergeLot> lots)
    {
        if (lots.Count is < FewestLots or > MostLots || lots.Select(l => l.Code).Distinct().Count() != lots.Count)
        {
            return Refusal.Invalid("lotCodes", "{0} to {1} different lots can become one; {2} were named.", FewestLots, MostLots, lots.Select(l => l.Code).Distinct().Count());
        }

        List<Refusal> refusals = [.. lots.SelectMany((lot, i) => State(lot, isLeft: i == 0)).Concat(Kind(lots))];
        return refusals.Count > 0 ? Outcome<MergedLot>.Refused(refusals) : Together.Of(lots);
    }

    private static IEnumerable<Refusal> State(MergeLot lot, bool isLeft)
    {
        if (lot.IsClosed)
        {
            yield return Conflict("lot-closed", "Lot {0} is closed: nothing of it is left.", lot.Code);
            yield break;
        }

        if (lot.IsInQuarantine)
        {
            yield return Conflict("lot-in-quarantine", "Lot {0} is in quarantine. Yarn in quarantine is never merged; release it after an inspection first.", lot.Code);
        }

        if (!lot.IsWeighed || lot.InBinMg <= 0)
        {
            yield return Conflict("mass-unknown", "Nothing of lot {0} is in its bin by weight, so the books can't carry it over. Weigh it first.", lot.Code);
        }

        if (lot.HasReturnsWaiting && !isLeft)
        {
            yield return Conflict("returns-wait", "Leftovers of lot {0} wait for an inspection. Look at them first.", lot.Code);
        }

        if (lot.AwaitsSecondPerson)
        {
            yield return Conflict("waits-already", "Something else about lot {0} waits for a second person. Let it be decided first.", lot.Code);
        }
    }

    /// <summary>What can't be widened: yarn that is not alike stays apart.</summary>
    private static IEnumerable<Refusal> Kind(IReadOnlyList<MergeLot> lots)
    {
        MergeLot left = lots[0];
        foreach (MergeLot other in lots.Skip(1))
        {
            if (left.Traits.Estimate?.WeightClass is { } one && other.Traits.Estimate?.WeightClass is { } two && one != two)
            {
                yield return Conflict("merge-classes", "Lot {0} is {1} and lot {2} is {3}: yarn of different classes stays in different lots.", left.Code, one.Name(), other.Code, two.Name());
            }

            if (left.Traits.Evidence.Texture != other.Traits.Evidence.Texture)
            {
                yield return Conflict("merge-textures", "Lots {0} and {1} have different textures ({2}, {3}) and stay different lots.", left.Code, other.Code, left.Traits.Evidence.Texture.Name(), other.Traits.Evidence.Texture.Name());
            }

            if (!left.Traits.Fibres.IsUnknown && !other.Traits.Fibres.IsUnknown && !Codes(left.Traits.Fibres).SetEquals(Codes(other.Traits.Fibres)))
            {
                yield return Conflict("merge-fibres", "Lots {0} and {1} are of different fibres and stay different lots.", left.Code, other.Code);
            }
        }
    }

    private static HashSet<string> Codes(FibreContent fibres) => [.. fibres.Shares.Select(s => s.Code)];

    private static Refusal Conflict(string rule, string sentence, params object[] arguments) => Refusal.Conflict(rule, sentence, arguments) with { Field = "lotCodes" };
}
