using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.Tests.WeightClasses;

/// <summary>A guild's own table, and what it would change.</summary>
public class WeightClassTableTests
{
    [Fact]
    public void Roundtrip_TheRowsOfTheDefaultInAnyOrder()
    {
        WeightClassTable own = WeightClassTable.Create(" ours-1 ", WeightClassTable.Default.Rows.Reverse()).Value;
        Assert.Equal("ours-1", own.Version);
        Assert.Equal(WeightClassTable.Default.Rows, own.Rows);
        Assert.Equal(WeightClass.Dk, own.FromWraps(13));
    }

    [Theory]
    [InlineData("")]
    [InlineData("   ")]
    [InlineData("a name that is far too long for a table")]
    [InlineData("snug-1")]
    public void Invalid_Version(string version) => Refused.With(WeightClassTable.Create(version, WeightClassTable.Default.Rows), "version");

    [Fact]
    public void Invalid_MissingAndDoubledClass()
    {
        Refused.With(Edited(rows => [.. rows.Skip(1)]), "rows", "9 rows", "10 classes");
        Refused.With(Edited(rows => [.. rows, rows[0]]), "rows", "11 rows");
    }

    [Fact]
    public void Invalid_LowNotBelowHigh() => AssertTold(With(WeightClass.Lace, row => row with { Low = row.High }), "Lace: low (800.1 m to 100 g) must be less than high (800.1 m)");

    [Fact]
    public void Invalid_HoleBetweenClasses() => AssertTold(With(WeightClass.Dk, row => row with { WrapsUpTo = 13.5 }), "Sport begins above 14.5 wraps, but DK ends at 13.5");

    [Fact]
    public void Invalid_Overlap() => AssertTold(With(WeightClass.Dk, row => row with { WrapsUpTo = 15.5 }), "Sport begins above 14.5 wraps, but DK ends at 15.5");

    [Fact]
    public void Invalid_EmptyRow() => AssertTold(With(WeightClass.Dk, row => row with { WrapsAbove = 14.5 }), "DK: wraps from 14.5 to 14.5 hold nothing");

    [Fact]
    public void Invalid_OpenEnds()
    {
        AssertTold(With(WeightClass.Lace, row => row with { WrapsUpTo = 60 }), "Lace is the finest class: it must have no upper end of wraps, and ends at 60");
        AssertTold(With(WeightClass.Jumbo, row => row with { WrapsAbove = 1 }), "Jumbo is the thickest class: its wraps must begin at 0, and begin at 1");
        AssertTold(With(WeightClass.Jumbo, row => row with { WrapsAbove = double.NaN }), "Jumbo: wraps from NaN");
    }

    [Fact]
    public void Invalid_ThickerClassWithMoreLength() =>
        AssertTold(With(WeightClass.Dk, row => row with { High = LinearDensity.FromYardsPer100Grams(500) }), "DK must have less length to 100 g than Sport");

    [Fact]
    public void Invalid_HalvesOfMedium()
    {
        AssertTold(With(WeightClass.Aran, row => row with { WrapsAbove = 9 }), "Aran must have the wraps of \"Worsted or aran\"");
        AssertTold(With(WeightClass.Aran, row => row with { Low = LinearDensity.FromYardsPer100Grams(120) }), "Aran must lie within \"Worsted or aran\"");
        AssertTold(With(WeightClass.Aran, row => row with { Low = LinearDensity.FromYardsPer100Grams(178) }), "Aran must not have more length to 100 g than Worsted");
    }

    [Fact]
    public void Invalid_LengthsNoYarnHas() => AssertTold(With(WeightClass.Lace, row => row with { High = LinearDensity.FromMetresPer100Grams(20_001) }), "Lace: 484.6 m to 20001 m in 100 g", "5 m to 20000 m");

    // DK from 12 on in the default table, from 13 on in the changed one.
    [Fact]
    public void Known_WhatAChangeReclassifies()
    {
        WeightClassTable changed = WeightClassTable.Create("ours-2", WeightClassTable.Default.Rows.Select(row => row.WeightClass switch
        {
            WeightClass.Dk => row with { WrapsAbove = 12.5 },
            WeightClass.Worsted or WeightClass.Aran or WeightClass.Medium => row with { WrapsUpTo = 12.5 },
            _ => row,
        })).Value;
        YarnEvidence[] lots =
        [
            new() { Wraps = Wraps.Create(12, 1).Value },
            new() { Wraps = Wraps.Create(13, 1).Value },
            new() { Wraps = Wraps.Create(12, 1).Value, Texture = Texture.Boucle },
            new() { AssertedClass = WeightClass.Dk },
            new() { Wraps = Wraps.Create(24, 2).Value },
        ];
        Assert.Equal(
            [new Reclassified(0, WeightClass.Dk, WeightClass.Medium), new Reclassified(4, WeightClass.Dk, WeightClass.Medium)],
            Reclassification.Of(lots, WeightClassTable.Default, changed));
        Assert.Empty(Reclassification.Of(lots, WeightClassTable.Default, WeightClassTable.Default));
    }

    // A rule learnt from 200 DK bands that run long is of the table it was learnt with: with another one, nothing is learnt.
    [Fact]
    public void Known_WhatAChangeReclassifies_ByTheRulesInForce()
    {
        YarnEvidence[] lots = [new() { Wraps = Wraps.Create(12, 1).Value, AssertedClass = WeightClass.Dk }, new() { Band = Band.Create(230, 100).Value }];
        YardageRules standard = YardageRules.Standard;

        Assert.Equal(Reclassification.Of(lots, standard.Table, standard.Table), Reclassification.Of(lots, standard, standard));
        Assert.Equal([0], Reclassification.Of(lots, standard, new(Cut(13.5))).Select(each => each.Index));
    }

    private static WeightClassTable Cut(double dkAbove) => WeightClassTable.Create("ours-3", WeightClassTable.Default.Rows.Select(row => row.WeightClass switch
    {
        WeightClass.Dk => row with { WrapsAbove = dkAbove },
        WeightClass.Worsted or WeightClass.Aran or WeightClass.Medium => row with { WrapsUpTo = dkAbove },
        _ => row,
    })).Value;

    private static Outcome<WeightClassTable> Edited(Func<IReadOnlyList<WeightClassRow>, IEnumerable<WeightClassRow>> edit) =>
        WeightClassTable.Create("ours-1", edit(WeightClassTable.Default.Rows));

    private static Outcome<WeightClassTable> With(WeightClass weightClass, Func<WeightClassRow, WeightClassRow> edit) =>
        Edited(rows => rows.Select(row => row.WeightClass == weightClass ? edit(row) : row));

    private static void AssertTold(Outcome<WeightClassTable> outcome, params string[] told)
    {
        Assert.False(outcome.IsOk);
        Assert.All(outcome.Refusals, refusal => Assert.StartsWith("rows.", refusal.Field, StringComparison.Ordinal));
        Assert.Contains(outcome.Refusals, refusal => told.All(part => refusal.ToString().Contains(part, StringComparison.Ordinal)));
    }
}
