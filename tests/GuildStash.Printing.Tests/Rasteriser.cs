using System.Diagnostics;
using System.Globalization;
using GuildStash.Printing.Drawing;
using SkiaSharp;
using ZXing;
using ZXing.Common;
using ZXing.QrCode;

namespace GuildStash.Printing.Tests;

/// <summary>A page as a printer sees it, through Poppler's pdftoppm, and the codes on it.</summary>
internal sealed class Rasteriser : IDisposable
{
    private readonly SKBitmap _bitmap;
    private readonly int _dotsPerInch;

    private Rasteriser(SKBitmap bitmap, int dotsPerInch)
    {
        _bitmap = bitmap;
        _dotsPerInch = dotsPerInch;
    }

    /// <summary>Renders one page; pages count from 1.</summary>
    /// <exception cref="InvalidOperationException">pdftoppm (Debian package poppler-utils) is missing or fails.</exception>
    public static Rasteriser Render(byte[] pdf, int page = 1, int dotsPerInch = 203)
    {
        DirectoryInfo folder = Directory.CreateTempSubdirectory("guildstash-print-");
        try
        {
            string source = Path.Combine(folder.FullName, "in.pdf");
            string target = Path.Combine(folder.FullName, "out");
            File.WriteAllBytes(source, pdf);
            string number = page.ToString(CultureInfo.InvariantCulture);
            Run("pdftoppm", "-png", "-singlefile", "-r", dotsPerInch.ToString(CultureInfo.InvariantCulture), "-f", number, "-l", number, source, target);
            return new Rasteriser(SKBitmap.Decode(target + ".png"), dotsPerInch);
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    /// <summary>Text of the code inside this box, or null where there is none.</summary>
    public string? Decode(Box box)
    {
        SKRectI pixels = new(Pixel(box.X), Pixel(box.Y), Pixel(box.Right), Pixel(box.Bottom));
        pixels.Intersect(new SKRectI(0, 0, _bitmap.Width, _bitmap.Height));
        byte[] grey = new byte[pixels.Width * pixels.Height];
        for (int y = 0; y < pixels.Height; y++)
        {
            for (int x = 0; x < pixels.Width; x++)
            {
                SKColor colour = _bitmap.GetPixel(pixels.Left + x, pixels.Top + y);
                grey[(y * pixels.Width) + x] = (byte)((colour.Red + colour.Green + colour.Blue) / 3);
            }
        }

        RGBLuminanceSource source = new(grey, pixels.Width, pixels.Height, RGBLuminanceSource.BitmapFormat.Gray8);
        Dictionary<DecodeHintType, object> hints = new() { [DecodeHintType.TRY_HARDER] = true };
        return new QRCodeReader().decode(new BinaryBitmap(new HybridBinarizer(source)), hints)?.Text;
    }

    public SKColor ColourAt(double x, double y) => _bitmap.GetPixel(Pixel(x), Pixel(y));

    public void Dispose() => _bitmap.Dispose();

    private static void Run(string program, params string[] arguments)
    {
        ProcessStartInfo start = new(program, arguments) { RedirectStandardError = true };
        using Process process = StartOrExplain(start);
        string errors = process.StandardError.ReadToEnd();
        process.WaitForExit();
        if (process.ExitCode != 0)
        {
            throw new InvalidOperationException($"{program} ended with {process.ExitCode}: {errors}");
        }
    }

    private static Process StartOrExplain(ProcessStartInfo start)
    {
        try
        {
            return Process.Start(start)!;
        }
        catch (System.ComponentModel.Win32Exception exception)
        {
            throw new InvalidOperationException(
                $"{start.FileName} is not installed; these tests look at rendered pages. Install the Debian package poppler-utils.", exception);
        }
    }

    private int Pixel(double millimetres) => (int)Math.Round(millimetres / 25.4 * _dotsPerInch);
}
