using System.Diagnostics;
using System.Globalization;
using System.Text;
using GuildStash.Printing.Drawing;
using SkiaSharp;
using ZXing;
using ZXing.Common;
using ZXing.QrCode;

namespace GuildStash.Printing.Tests;

/// <summary>A page as a printer sees it, through Poppler's pdftoppm, and the codes on it.</summary>
/// <remarks>As a portable pixmap (PPM, "P6": width, height, 255, then three bytes for each pixel): packing a page as a PNG and unpacking it takes longer than drawing it.</remarks>
internal sealed class Rasteriser
{
    private readonly byte[] _page;
    private readonly int _start;
    private readonly int _width;
    private readonly int _height;
    private readonly int _dotsPerInch;

    private Rasteriser(byte[] page, int dotsPerInch)
    {
        _page = page;
        _dotsPerInch = dotsPerInch;
        string[] head = new string[4];
        for (int word = 0; word < head.Length; word++)
        {
            int end = Array.FindIndex(page, _start, b => b is (byte)' ' or (byte)'\n');
            head[word] = Encoding.ASCII.GetString(page, _start, end - _start);
            _start = end + 1;
        }

        (_width, _height) = (int.Parse(head[1], CultureInfo.InvariantCulture), int.Parse(head[2], CultureInfo.InvariantCulture));
        if (head is not ["P6", _, _, "255"] || page.Length != _start + (3 * _width * _height))
        {
            throw new InvalidOperationException($"This is no pixmap of {_width} × {_height}: {string.Join(' ', head)}, {page.Length} bytes.");
        }
    }

    /// <summary>Renders one page; pages count from 1.</summary>
    /// <exception cref="InvalidOperationException">pdftoppm (Debian package poppler-utils) is missing or fails.</exception>
    public static Rasteriser Render(byte[] pdf, int page = 1, int dotsPerInch = 203)
    {
        string source = Path.GetTempFileName();
        try
        {
            File.WriteAllBytes(source, pdf);
            string number = page.ToString(CultureInfo.InvariantCulture);
            return new Rasteriser(Run("pdftoppm", "-r", dotsPerInch.ToString(CultureInfo.InvariantCulture), "-f", number, "-l", number, source), dotsPerInch);
        }
        finally
        {
            File.Delete(source);
        }
    }

    /// <summary>Text of the code inside this box, or null where there is none.</summary>
    public string? Decode(Box box)
    {
        (int left, int top) = (Math.Max(0, Pixel(box.X)), Math.Max(0, Pixel(box.Y)));
        (int width, int height) = (Math.Min(_width, Pixel(box.Right)) - left, Math.Min(_height, Pixel(box.Bottom)) - top);
        byte[] colours = new byte[3 * width * height];
        for (int row = 0; row < height; row++)
        {
            Array.Copy(_page, At(left, top + row), colours, 3 * width * row, 3 * width);
        }

        RGBLuminanceSource source = new(colours, width, height, RGBLuminanceSource.BitmapFormat.RGB24);
        Dictionary<DecodeHintType, object> hints = new() { [DecodeHintType.TRY_HARDER] = true };
        return new QRCodeReader().decode(new BinaryBitmap(new HybridBinarizer(source)), hints)?.Text;
    }

    public SKColor ColourAt(double x, double y)
    {
        int at = At(Pixel(x), Pixel(y));
        return new SKColor(_page[at], _page[at + 1], _page[at + 2]);
    }

    /// <summary>Runs a program and gives what it wrote.</summary>
    private static byte[] Run(string program, params string[] arguments)
    {
        ProcessStartInfo start = new(program, arguments) { RedirectStandardError = true, RedirectStandardOutput = true };
        using Process process = StartOrExplain(start);
        Task<string> errors = process.StandardError.ReadToEndAsync();
        using MemoryStream written = new();
        process.StandardOutput.BaseStream.CopyTo(written);
        process.WaitForExit();
        return process.ExitCode == 0 ? written.ToArray() : throw new InvalidOperationException($"{program} ended with {process.ExitCode}: {errors.Result}");
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

    private int At(int x, int y) => _start + (3 * ((_width * y) + x));

    private int Pixel(double millimetres) => (int)Math.Round(millimetres / 25.4 * _dotsPerInch);
}
