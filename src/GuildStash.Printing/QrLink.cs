namespace GuildStash.Printing;

/// <summary>Links as they are put into QR codes.</summary>
public static class QrLink
{
    /// <summary>Longest link that still gives modules of a readable size on the smallest label.</summary>
    public const int MaxLength = 200;

    /// <summary>
    /// Link to a page of the app in capitals, so that the code stays in the alphanumeric mode of ISO/IEC 18004 and small.
    /// Scheme and host may be written either way (RFC 3986, 6.2.2.1) and the app's own routes ignore case; a folder in
    /// front of them belongs to somebody else's server and stays as it is.
    /// </summary>
    /// <param name="publicUrl">Address under which phones reach the app, absolute.</param>
    /// <param name="path">Path inside the app without a leading slash, for instance "b/K7MS".</param>
    /// <exception cref="ArgumentException">The address is not absolute.</exception>
    public static string For(Uri publicUrl, string path)
    {
        if (!publicUrl.IsAbsoluteUri)
        {
            throw new ArgumentException($"The public address \"{publicUrl}\" is not absolute; it begins with https:// or http://.", nameof(publicUrl));
        }

        string server = publicUrl.GetLeftPart(UriPartial.Authority).ToUpperInvariant();
        string folder = publicUrl.AbsolutePath.TrimEnd('/');
        return $"{server}{folder}/{path.TrimStart('/').ToUpperInvariant()}";
    }
}
