using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>What did not agree, as far as it can be told apart.</summary>
[Flags]
public enum Disagreements
{
    None = 0,

    /// <summary>The sample weighs too few divisions of its scale to be worth its trouble.</summary>
    SampleTooLight = 1,

    /// <summary>Band against sample.</summary>
    Band = 2,

    /// <summary>Count against sample or band.</summary>
    Count = 4,

    /// <summary>Gauge against sample, band or count.</summary>
    Gauge = 8,

    /// <summary>Wraps against what was measured or stated.</summary>
    Wraps = 16,

    /// <summary>The class that a person named against what was measured, stated or counted.</summary>
    Named = 32,
}

/// <summary>All direct readings in one: the most trusted leads, others join it only if they agree within their errors.</summary>
internal readonly record struct DirectEvidence(DirectReading Reading, Disagreements Disagreements)
{
    /// <summary>Readings farther apart than this many standard deviations of their difference disagree; 3 is the usual limit (1 in 370 by chance).</summary>
    public const double FarthestDistance = 3;

    public static DirectEvidence Of(YarnEvidence evidence, WeightClassTable table, in FibreBulk bulk)
    {
        DirectEvidence all = default;
        if (evidence.Sample is { } sample)
        {
            all = new(DirectReading.FromSample(sample), sample.Divisions < Quantities.WeighedSample.FewestDivisions ? Disagreements.SampleTooLight : Disagreements.None);
        }

        if (evidence.Band is { } band)
        {
            all = all.Joined(DirectReading.FromBand(band), Disagreements.Band, isOwn: true);
        }

        if (evidence.Count is { } count)
        {
            // A count on a band is the same maker's word: it can contradict the length, but not make it surer.
            all = all.Joined(DirectReading.FromCount(count), Disagreements.Count, isOwn: evidence.Band is null);
        }

        return evidence.Gauge is { } gauge ? all.Joined(DirectReading.FromGauge(gauge, table, bulk), Disagreements.Gauge, isOwn: true) : all;
    }

    private DirectEvidence Joined(in DirectReading next, Disagreements kind, bool isOwn)
    {
        if (!Reading.IsKnown)
        {
            return this with { Reading = next };
        }

        bool isFar = Reading.DistanceTo(next) > FarthestDistance;
        return new(isOwn && !isFar ? Reading.With(next) : Reading, isFar ? Disagreements | kind : Disagreements);
    }
}
