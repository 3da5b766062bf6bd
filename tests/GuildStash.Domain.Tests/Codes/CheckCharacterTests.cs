using CsCheck;
using GuildStash.Domain.Codes;

namespace GuildStash.Domain.Tests.Codes;

public class CheckCharacterTests
{
    private const string Characters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

    private static readonly Gen<string> AnyPayload = Gen.Int[0, Characters.Length - 1].Select(index => Characters[index]).Array[1, 20].Select(characters => new string(characters));

    // G123498654321 → H: published by the UK blood service for ISBT 128. The others: computed by hand after ISO/IEC 7064 MOD 37-2.
    [Theory]
    [InlineData("G123498654321", 'H')]
    [InlineData("B0001", 'H')]
    [InlineData("B2C3D4", 'U')]
    [InlineData("K7M4P9", 'U')]
    [InlineData("ZZZZZZ", 'V')]
    [InlineData("222222", '8')]
    [InlineData("L2K7", '*')]
    public void Known_CheckCharacters(string payload, char check)
    {
        Assert.Equal(check, CheckCharacter.Of(payload));
        Assert.True(CheckCharacter.IsValid(payload + check));
    }

    [Fact]
    public void Roundtrip_OfThenIsValid() => AnyPayload.Sample(payload => CheckCharacter.IsValid(payload + CheckCharacter.Of(payload)));

    [Fact]
    public void Known_EverySingleSubstitutionIsFound() => AnyPayload.Select(Gen.Int[0, 20], Gen.Int[0, 36]).Sample((payload, place, other) =>
    {
        char[] code = [.. payload, CheckCharacter.Of(payload)];
        int at = place % code.Length;
        char replacement = (Characters + "*")[other];
        bool isSame = code[at] == replacement;
        code[at] = replacement;
        return CheckCharacter.IsValid(code) == isSame;
    });

    [Fact]
    public void Known_EveryExchangeOfNeighboursIsFound() => AnyPayload.Select(Gen.Int[0, 20]).Sample((payload, place) =>
    {
        char[] code = [.. payload, CheckCharacter.Of(payload)];
        int at = place % (code.Length - 1);
        bool isSame = code[at] == code[at + 1];
        (code[at], code[at + 1]) = (code[at + 1], code[at]);
        return CheckCharacter.IsValid(code) == isSame;
    });

    [Theory]
    [InlineData("")]
    [InlineData("a")]
    [InlineData("A-B")]
    [InlineData("A*B")]
    [InlineData("Ä")]
    public void Invalid_Payload(string payload)
    {
        Assert.Throws<ArgumentException>(() => CheckCharacter.Of(payload));
        Assert.False(CheckCharacter.IsValid(payload));
        Assert.False(CheckCharacter.IsValid(payload + "H"));
    }
}
