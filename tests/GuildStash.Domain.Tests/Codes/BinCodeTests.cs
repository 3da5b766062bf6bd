using GuildStash.Domain.Codes;

namespace GuildStash.Domain.Tests.Codes;

public class BinCodeTests
{
    private static readonly long[] UsableSerials = [.. Enumerable.Range(0, (int)BinCode.SerialCount).Select(serial => (long)serial).Where(BinCode.IsUsable)];

    // K7M → S: computed by hand after ISO/IEC 7064 MOD 37-2.
    [Fact]
    public void Known_Display()
    {
        BinCode code = BinCode.Parse("k7m s").Value;
        Assert.Equal(("K7MS", "K7M-S"), (code.Value, code.Display));
    }

    [Fact]
    public void Roundtrip_WholeSpace_OneCodeForEachSerial()
    {
        HashSet<string> codes = [.. UsableSerials.Select(serial => BinCode.FromSerial(serial).Value)];
        Assert.Equal(UsableSerials.Length, codes.Count);
        Assert.All(codes, code => Assert.True(BinCode.TryParse(code, out BinCode parsed) && parsed.Value == code));
    }

    // 5 of 37 check characters can be misread: about 13.5 % of the 32,768 serials are skipped.
    [Fact]
    public void Known_ShareOfUsableSerials() => Assert.Equal(32.0 / 37, UsableSerials.Length / 32_768.0, 0.005);

    [Theory]
    [InlineData("K7MT", "check character")]
    [InlineData("7KMS", "check character")]
    [InlineData("K7M1", "\"1\", which no code has")]
    [InlineData("K7M4P9U", "4 characters")]
    public void Invalid_Typed(string typed, string told) => Refused.With(BinCode.Parse(typed), "binCode", told);

    // Computed apart from this program. Serials of printed labels depend on the mapping: it may never change.
    [Fact]
    public void Known_MappingIsFixed() => Assert.Equal("82D-E", BinCode.FromSerial(1).Display);

    [Fact]
    public void Extreme_NextAtTheEndOfTheSpace()
    {
        long serial = UsableSerials[^1];
        Assert.Equal(BinCode.FromSerial(UsableSerials[^1]), BinCode.Next(ref serial));
        Assert.Throws<InvalidOperationException>(() => BinCode.Next(ref serial));
    }
}
