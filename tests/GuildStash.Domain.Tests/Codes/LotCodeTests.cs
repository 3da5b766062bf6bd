using CsCheck;
using GuildStash.Domain.Codes;

namespace GuildStash.Domain.Tests.Codes;

public class LotCodeTests
{
    private const string Alphabet = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ";

    private static readonly Gen<long> AnyUsable = Gen.Long[0, LotCode.SerialCount - 1].Where(LotCode.IsUsable);

    [Fact]
    public void Known_Display()
    {
        LotCode code = LotCode.Parse("K7M4P9U").Value;
        Assert.Equal(("K7M4P9U", "K7M4-P9U", "K7M4-P9U"), (code.Value, code.Display, code.ToString()));
    }

    [Theory]
    [InlineData("k7m4-p9u")]
    [InlineData(" K7 M4 P9 U ")]
    [InlineData("K7M4\tP9U")]
    [InlineData("-K-7-M-4-P-9-U-")]
    public void Known_TypedForms(string typed)
    {
        Assert.True(LotCode.TryParse(typed, out LotCode code));
        Assert.Equal("K7M4P9U", code.Value);
    }

    [Theory]
    [InlineData("K7M4P9V", "check character")]
    [InlineData("7KM4P9U", "check character")]
    [InlineData("K7M4P9O", "\"O\", which no code has")]
    [InlineData("K7M4P90", "\"0\", which no code has")]
    [InlineData("K7M4P9I", "\"I\", which no code has")]
    [InlineData("K7M4P9*", "\"*\", which no code has")]
    [InlineData("K7MÄP9U", "\"Ä\", which no code has")]
    [InlineData("K7M4P9", "7 characters")]
    [InlineData("K7MS", "7 characters")]
    [InlineData("", "7 characters")]
    [InlineData(null, "7 characters")]
    public void Invalid_Typed(string? typed, string told)
    {
        Refused.With(LotCode.Parse(typed), "lotCode", told);
        Assert.False(LotCode.TryParse(typed, out LotCode code));
        Assert.Equal(default, code);
    }

    [Fact]
    public void Extreme_LongInputIsShortenedInTheSentence() =>
        Assert.True(LotCode.Parse(new string('K', 10_000)).Refusal.ToString().Length < 200);

    [Fact]
    public void Roundtrip_SerialToTypedCode() => AnyUsable.Sample(serial =>
    {
        LotCode code = LotCode.FromSerial(serial);
        return LotCode.Parse(code.Display.ToLowerInvariant()).Value == code && code.Value.Length == 7 && code.Value.All(Alphabet.Contains);
    });

    [Fact]
    public void Known_DifferentSerialsDifferentCodes() => AnyUsable.Select(AnyUsable).Sample((a, b) =>
        a == b == (LotCode.FromSerial(a) == LotCode.FromSerial(b)));

    [Fact]
    public void Known_NeighboursDifferInEveryPlace() => AnyUsable.Where(serial => serial + 1 < LotCode.SerialCount && LotCode.IsUsable(serial + 1)).Sample(serial =>
        LotCode.FromSerial(serial).Value.Take(6).Zip(LotCode.FromSerial(serial + 1).Value).All(pair => pair.First != pair.Second));

    // Computed apart from this program. Serials of printed labels depend on the mapping: it may never change.
    [Fact]
    public void Known_MappingIsFixed()
    {
        Assert.Equal("S6ZU-MCS", LotCode.FromSerial(0).Display);
        Assert.Equal("RU4B-3CB", LotCode.FromSerial(1_000_000).Display);
    }

    [Fact]
    public void Next_WhenSerialsAreNotUsable_SkipsThemAndMovesOn()
    {
        long unusable = Enumerable.Range(0, 1000).First(serial => !LotCode.IsUsable(serial));
        long serial = unusable;
        LotCode code = LotCode.Next(ref serial);
        Assert.True(serial > unusable + 1);
        Assert.Equal(LotCode.FromSerial(serial - 1), code);
    }

    [Fact]
    public void Next_WhenCalledOnAndOn_NeverRepeats()
    {
        long serial = 0;
        HashSet<LotCode> codes = [];
        for (int count = 0; count < 10_000; count++)
        {
            Assert.True(codes.Add(LotCode.Next(ref serial)));
        }
    }

    [Fact]
    public void Invalid_Serial()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => LotCode.FromSerial(-1));
        Assert.Throws<ArgumentOutOfRangeException>(() => LotCode.IsUsable(LotCode.SerialCount));
        Assert.Throws<ArgumentException>(() => LotCode.FromSerial(Enumerable.Range(0, 1000).First(serial => !LotCode.IsUsable(serial))));
    }

    [Fact]
    public void Extreme_TheDefaultIsNoCode() => Assert.Equal(("", ""), (default(LotCode).Value, default(LotCode).Display));
}
