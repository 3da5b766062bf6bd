using System.Diagnostics;
using Microsoft.Playwright;
using SkiaSharp;
using UglyToad.PdfPig;
using Xunit;
using ZXing;
using ZXing.Common;

namespace GuildStash.Browser.Tests.Support;

/// <summary>PDFs as a person gets them: fetched with the visitor's cookie, read as text, and their codes scanned from a picture.</summary>
public static class Papers
{
    private const int ScanDpi = 300;

    public static async Task<byte[]> FetchAsync(Visitor visitor, string address)
    {
        IAPIResponse response = await visitor.Page.APIRequest.GetAsync(address);
        Assert.True(response.Ok, $"{address} answered {response.Status}.");
        Assert.Equal("application/pdf", response.Headers["content-type"]);
        return await response.BodyAsync();
    }

    public static string TextOf(byte[] pdf)
    {
        using PdfDocument document = PdfDocument.Open(pdf);
        return string.Join('\n', document.GetPages().Select(p => string.Join(' ', p.GetWords().Select(w => w.Text))));
    }

    /// <summary>Prints the first page to a picture and reads every QR code on it, as a phone would.</summary>
    public static async Task<IReadOnlyList<string>> ScanAsync(byte[] pdf)
    {
        string folder = Directory.CreateTempSubdirectory("papers").FullName;
        try
        {
            string file = Path.Combine(folder, "page.pdf");
            await File.WriteAllBytesAsync(file, pdf, Site.Cancellation);
            using Process process = Process.Start(new ProcessStartInfo("pdftoppm", ["-png", "-r", $"{ScanDpi}", "-f", "1", "-l", "1", "-singlefile", file, Path.Combine(folder, "page")]))!;
            await process.WaitForExitAsync(Site.Cancellation);
            using SKBitmap picture = SKBitmap.Decode(Path.Combine(folder, "page.png"));
            BinaryBitmap bits = new(new HybridBinarizer(new RGBLuminanceSource(picture.Bytes, picture.Width, picture.Height, picture.ColorType == SKColorType.Bgra8888 ? RGBLuminanceSource.BitmapFormat.BGRA32 : RGBLuminanceSource.BitmapFormat.RGBA32)));
            Result[]? found = new ZXing.Multi.QrCode.QRCodeMultiReader().decodeMultiple(bits, new Dictionary<DecodeHintType, object> { [DecodeHintType.TRY_HARDER] = true });
            return [.. (found ?? []).Select(r => r.Text)];
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
