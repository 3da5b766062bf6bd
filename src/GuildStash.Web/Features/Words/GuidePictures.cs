using System.Buffers.Binary;
using System.Net.Mime;

namespace GuildStash.Web.Features.Words;

/// <summary>The pictures of the guides, for whoever is signed in.</summary>
public static class GuidePictures
{
    /// <summary>Where the browser asks for them.</summary>
    public const string Address = Guides.Address + "/pictures/";

    /// <summary>Width and height stand in the first 24 bytes of a PNG (ISO/IEC 15948, IHDR).</summary>
    private const int HeadBytes = 24;

    private const int WidthAt = 16;
    private const int HeightAt = 20;

    private static string Folder => Path.Combine(AppContext.BaseDirectory, "guide-pictures");

    internal static string AddressOf(string url) => Address + Path.GetFileName(url);

    /// <summary>Width and height in pixels; null where there is no such picture.</summary>
    public static (int Width, int Height)? SizeOf(string address)
    {
        FileInfo file = FileOf(address);
        if (!file.Exists || file.Length < HeadBytes)
        {
            return null;
        }

        byte[] head = new byte[HeadBytes];
        using FileStream stream = file.OpenRead();
        stream.ReadExactly(head);
        return (BinaryPrimitives.ReadInt32BigEndian(head.AsSpan(WidthAt)), BinaryPrimitives.ReadInt32BigEndian(head.AsSpan(HeightAt)));
    }

    /// <summary>Answers with a picture, which the person's browser alone may keep for an hour.</summary>
    public static void MapGuidePictures(this IEndpointRouteBuilder app) =>
        app.MapGet(Address + "{name}.png", IResult (string name, HttpContext http) =>
        {
            FileInfo file = FileOf(name + ".png");
            if (!file.Exists)
            {
                return TypedResults.NotFound();
            }

            http.Response.Headers.CacheControl = "private, max-age=3600";
            return TypedResults.PhysicalFile(file.FullName, MediaTypeNames.Image.Png, lastModified: file.LastWriteTimeUtc);
        }).RequireAuthorization().ExcludeFromDescription();

    /// <summary>Only the name counts, so that no address leads out of the folder.</summary>
    private static FileInfo FileOf(string address) => new(Path.Combine(Folder, Path.GetFileName(address)));
}
