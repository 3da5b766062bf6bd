using GuildStash.Domain.Colours;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Features.Inventory;
using Xunit;

namespace GuildStash.Web.Tests.Features.Inventory;

public sealed class LotFilterAddressTests
{
    [Fact]
    public void Read_WhenAllIsSet_CombinesAllFilters()
    {
        LotFilterAddress address = new()
        {
            Class = "superBulky",
            Colour = "teal",
            Fibre = "wo",
            Washable = "no",
            DyeLot = "A7",
            Bin = "K7M-S",
            Status = "reserved",
            Age = "over-180",
            Metres = "182.88",
            Query = "knot",
        };
        List<Phrase> leftOut = [];

        LotFilter filter = address.Read(leftOut);

        Assert.Empty(leftOut);
        Assert.Equal(new LotFilter
        {
            WeightClass = WeightClass.SuperBulky,
            ColourFamily = ColourFamily.Teal,
            Fibre = "WO",
            Washable = false,
            DyeLot = "A7",
            BinCode = "K7M-S",
            Status = LotStatus.Reserved,
            AtLeastDaysOld = 180,
            MinMetres = 182.88,
            Query = "knot",
        }, filter);
    }

    [Fact]
    public void Read_WhenItAsksForWhatIsNotKnown_FiltersForThat()
    {
        LotFilter filter = new LotFilterAddress { Class = "unknown", Colour = "UNKNOWN", Fibre = "unknown", Status = "shelves", Age = "within-7" }.Read([]);

        Assert.Equal(new LotFilter { ClassUnknown = true, ColourUnknown = true, Fibre = "unknown", Part = StockPart.OnShelves, AtMostDaysOld = 7 }, filter);
    }

    [Theory]
    [InlineData("class", "<script>")]
    [InlineData("colour", "ultraviolet")]
    [InlineData("fibre", "ZZ")]
    [InlineData("status", "7")]
    [InlineData("age", "within-99999999999")]
    [InlineData("age", "within--3")]
    [InlineData("metres", "NaN")]
    [InlineData("metres", "-5")]
    [InlineData("metres", "1e300")]
    [InlineData("metres", "1000001")]
    [InlineData("metres", "1,5")]
    [InlineData("washable", "perhaps")]
    public void InvalidRead_WhenAPartCantBeRead_LeavesItOutAndSaysSo(string name, string value)
    {
        LotFilterAddress address = name switch
        {
            "class" => new() { Class = value },
            "colour" => new() { Colour = value },
            "fibre" => new() { Fibre = value },
            "status" => new() { Status = value },
            "age" => new() { Age = value },
            "metres" => new() { Metres = value },
            _ => new() { Washable = value },
        };
        List<Phrase> leftOut = [];

        Assert.Equal(new LotFilter(), address.Read(leftOut));
        Assert.Contains(value, Assert.Single(leftOut).ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void ExtremeRead_WhenAValueIsEndless_QuotesItsBeginningOnly()
    {
        List<Phrase> leftOut = [];

        new LotFilterAddress { Class = new string('x', 10_000) }.Read(leftOut);

        Assert.True(Assert.Single(leftOut).ToString().Length < 100);
    }

    [Fact]
    public void RoundtripHref_OfEveryFilter_WritesAndRemovesEachByItsName()
    {
        LotFilterAddress all = new()
        {
            Class = "dk",
            Colour = "blue",
            Fibre = "WO",
            Washable = "yes",
            DyeLot = "A & B",
            Bin = "K7MS",
            Status = "available",
            Age = "within-30",
            Metres = "100",
            Query = "a=b",
        };

        Assert.Equal("/inventory?class=dk&colour=blue&fibre=WO&washable=yes&dyeLot=A%20%26%20B&bin=K7MS&status=available&age=within-30&metres=100&q=a%3Db&view=table", all.Href("/inventory", ("view", "table"), ("unit", null)));
        LotFilterAddress none = all.Parts.Select(part => part.Name).Aggregate(all, (address, name) => address.Without(name));
        Assert.Equal("/inventory", none.Href("/inventory"));
        Assert.Equal(10, all.Parts.Count());
    }

    [Theory]
    [InlineData(null, StockPart.Free)]
    [InlineData("reserved", StockPart.Free)]
    [InlineData("Shelves", StockPart.OnShelves)]
    [InlineData("quarantined", StockPart.InQuarantine)]
    public void KnownPart_OfAState_IsWhatTheWallShows(string? status, StockPart part) => Assert.Equal(part, new LotFilterAddress { Status = status }.Part);
}
