using GuildStash.Domain.Rules;
using GuildStash.Printing.Drawing;

namespace GuildStash.Printing;

/// <summary>The sheet that goes to the sorting table with a bag, A4 upright.</summary>
public static class IntakeSheetDocument
{
    private const long HeaviestMilligrams = 1_000_000_000;
    private const int MostBlankLines = 200;
    private const int MostBags = 10_000;

    /// <exception cref="ArgumentOutOfRangeException">
    /// A mass outside 0 to 1,000 kg, tare above gross, a bag outside its count, more than 200 blank lines, or a link over 200 characters.
    /// </exception>
    public static byte[] Render(IntakeSheet sheet, PrintTexts texts)
    {
        Guard.InRange(sheet.GrossMilligrams, 0L, HeaviestMilligrams, nameof(sheet.GrossMilligrams));
        Guard.InRange(sheet.TareMilligrams, 0L, sheet.GrossMilligrams, nameof(sheet.TareMilligrams));
        Guard.InRange(sheet.BagCount, 1L, MostBags, nameof(sheet.BagCount));
        Guard.InRange(sheet.BagOrdinal, 1L, sheet.BagCount, nameof(sheet.BagOrdinal));
        Guard.InRange(sheet.BlankLines, 0L, MostBlankLines, nameof(sheet.BlankLines));
        foreach (IntakeSheetLot lot in sheet.Lots)
        {
            Guard.InRange(lot.Milligrams ?? 0, 0L, HeaviestMilligrams, nameof(lot.Milligrams));
        }

        string number = BagNumber(sheet);
        return Paper.RenderCounted($"{texts[PrintWords.IntakeSheet]} {number}", texts, paper =>
        {
            Flow flow = new(paper, $"{sheet.GuildName} · {number}");
            IntakeSheetHead.Draw(flow, sheet, number);
            IntakeSheetTable.Draw(flow, sheet);
        });
    }

    private static string BagNumber(IntakeSheet sheet) => $"{sheet.DonationNumber}\u00A0/\u00A0{sheet.BagOrdinal}";
}
