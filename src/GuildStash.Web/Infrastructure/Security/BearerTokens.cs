using System.Buffers.Text;
using System.Security.Cryptography;
using System.Text;

namespace GuildStash.Web.Infrastructure.Security;

/// <summary>Tokens with which other programs act as a person. The token is shown once; the database keeps only its hash.</summary>
public static class BearerTokens
{
    public const string Scheme = "Bearer";

    /// <summary>Begins every token, so that one left in a file or a log is recognised.</summary>
    public const string Prefix = "gs_";

    private const int SecretBytes = 32;

    /// <summary>A new secret: the prefix and 256 random bits.</summary>
    public static string New() => Prefix + Base64Url.EncodeToString(RandomNumberGenerator.GetBytes(SecretBytes));

    /// <summary>SHA-256 is enough without salt or stretching: 256 random bits can't be guessed or looked up.</summary>
    public static byte[] HashOf(string token) => SHA256.HashData(Encoding.UTF8.GetBytes(token));
}
