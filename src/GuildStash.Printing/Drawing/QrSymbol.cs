using GuildStash.Domain.Rules;
using QRCoder;

namespace GuildStash.Printing.Drawing;

/// <summary>A QR code after ISO/IEC 18004 at error correction level M, drawn as vector runs.</summary>
internal sealed class QrSymbol
{
    /// <summary>White modules that must surround the symbol (ISO/IEC 18004).</summary>
    public const int QuietZone = 4;

    private readonly bool[,] _dark;

    private QrSymbol(string content, bool[,] dark)
    {
        Content = content;
        _dark = dark;
    }

    public string Content { get; }

    /// <summary>Modules along one side, without the quiet zone.</summary>
    public int Modules => _dark.GetLength(0);

    /// <summary>Modules along one side, with the quiet zone.</summary>
    public int ModulesWithQuietZone => Modules + (2 * QuietZone);

    /// <exception cref="ArgumentOutOfRangeException">The content is empty or longer than <see cref="QrLink.MaxLength"/> characters.</exception>
    public static QrSymbol Of(string content)
    {
        Guard.InRange(content.Length, 1L, QrLink.MaxLength, "length of the link in the QR code");
        using QRCodeData data = QRCodeGenerator.GenerateQrCode(content, QRCodeGenerator.ECCLevel.M);
        int modules = data.ModuleMatrix.Count - (2 * QuietZone);
        bool[,] dark = new bool[modules, modules];
        for (int row = 0; row < modules; row++)
        {
            for (int column = 0; column < modules; column++)
            {
                dark[row, column] = data.ModuleMatrix[row + QuietZone][column + QuietZone];
            }
        }

        return new QrSymbol(content, dark);
    }

    /// <summary>Draws the dark modules from this corner (the quiet zone lies outside) with modules of this many millimetres.</summary>
    public void Draw(Canvas canvas, double x, double y, double module, string alternativeText) =>
        canvas.Figure(
            alternativeText,
            new Box(x, y, Modules * module, Modules * module),
            () => canvas.FillAll(Runs().Select(run => new Box(x + (run.Column * module), y + (run.Row * module), run.Length * module, module)), Ink.Black));

    private IEnumerable<(int Row, int Column, int Length)> Runs()
    {
        for (int row = 0; row < Modules; row++)
        {
            int start = -1;
            for (int column = 0; column <= Modules; column++)
            {
                bool isDark = column < Modules && _dark[row, column];
                if (isDark && start < 0)
                {
                    start = column;
                }
                else if (!isDark && start >= 0)
                {
                    yield return (row, start, column - start);
                    start = -1;
                }
            }
        }
    }
}
