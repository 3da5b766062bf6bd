using GuildStash.Domain.Intake;
using GuildStash.Printing.Drawing;
using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing;

/// <summary>Everything above the table: which bag, from whom, how heavy, what to beware of.</summary>
internal static class IntakeSheetHead
{
    private const double QrModule = 0.7;
    private const int MostCautionLines = 12;

    private static readonly TextStyle Body = new(9.5);

    public static void Draw(Flow flow, IntakeSheet sheet, string number)
    {
        double qrBottom = DrawTitle(flow, sheet, number);
        DrawFacts(flow, sheet);
        flow.Y = Math.Max(flow.Y, qrBottom) + 3;
        DrawRemarks(flow, sheet);
        DrawCautions(flow, sheet);
        flow.Y += 1;
        if (sheet.StaysShut)
        {
            DrawWhatToDo(flow);
        }
        else
        {
            flow.Paragraph(flow.Texts[PrintWords.HowToMeasure], new TextStyle(8.5, Soft: true), 4);
        }

        flow.Y += 3;
    }

    /// <summary>A bag with insects or mould is neither measured nor sorted.</summary>
    private static void DrawWhatToDo(Flow flow)
    {
        TextStyle heading = new(12, Bold: true);
        TextStyle step = new(11);
        flow.EnsureRoom(30);
        flow.Canvas.Element(
            PdfBlockLevelElementTag.Heading2, () => flow.Canvas.Line(flow.Texts[PrintWords.ShutWhatToDo], Flow.Left, flow.Y + heading.CapHeight, Flow.Width, heading));
        flow.Y += heading.CapHeight + 3;
        foreach (string words in (string[])[PrintWords.ShutSeal, PrintWords.ShutTakeOut, PrintWords.ShutDiscard])
        {
            flow.Paragraph(flow.Texts[words], step, 4);
            flow.Y += 1.5;
        }
    }

    private static double DrawTitle(Flow flow, IntakeSheet sheet, string number)
    {
        Canvas canvas = flow.Canvas;
        QrSymbol code = QrSymbol.Of(sheet.BagUrl);
        double side = code.Modules * QrModule;
        double left = Flow.Right - side;
        code.Draw(canvas, left, flow.Y, QrModule, flow.Texts[PrintWords.CodeFor, number]);
        TextStyle caption = new(7.5, Soft: true);
        double captionBaseline = flow.Y + side + 4.2;
        canvas.Element(
            PdfBlockLevelElementTag.Paragraph,
            () => canvas.Line(flow.Texts[PrintWords.OpensBag], left - 20, captionBaseline, side + 20, caption, Align.Right));

        double width = Width(code);
        TextStyle guild = new(9.5, Soft: true);
        TextStyle title = new(24, Bold: true);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(sheet.GuildName, Flow.Left, flow.Y + guild.CapHeight, width, guild));
        canvas.Element(PdfBlockLevelElementTag.Heading1, () => canvas.Line(number, Flow.Left, flow.Y + 12.4, width, title));
        string bag = $"{flow.Texts[PrintWords.IntakeSheet]} · {flow.Texts[PrintWords.BagOf, flow.Texts.Number(sheet.BagOrdinal), flow.Texts.Number(sheet.BagCount)]}";
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(bag, Flow.Left, flow.Y + 18.4, width, new TextStyle(11)));
        flow.Y += 23.5;
        return captionBaseline;
    }

    private static double Width(QrSymbol code) => Flow.Width - (code.ModulesWithQuietZone * QrModule);

    private static void DrawFacts(Flow flow, IntakeSheet sheet)
    {
        const double Row = 10.5;
        double[] columns = [62, 46, 48];
        PrintTexts texts = flow.Texts;
        string kind = texts[sheet.Kind == IntakeKind.Swap ? PrintWords.Swap : PrintWords.Donation];
        string donor = string.IsNullOrWhiteSpace(sheet.DonorName) ? texts[PrintWords.NoDonorName] : sheet.DonorName;
        flow.Fact(texts[PrintWords.Received], texts.Date(sheet.ReceivedOn), new Box(Flow.Left, flow.Y, columns[0] - 3, Row));
        flow.Fact(texts[PrintWords.From], donor, new Box(Flow.Left + columns[0], flow.Y, columns[1] + columns[2] - 3, Row));
        flow.Y += Row;
        (string Caption, long Milligrams, bool Bold)[] masses =
        [
            (texts[PrintWords.Gross], sheet.GrossMilligrams, false),
            (texts[PrintWords.Tare], sheet.TareMilligrams, false),
            (texts[PrintWords.Net], sheet.GrossMilligrams - sheet.TareMilligrams, true),
        ];
        for (int column = 0; column < masses.Length; column++)
        {
            Box box = new(Flow.Left + columns[..column].Sum(), flow.Y, columns[column] - 3, Row);
            flow.Fact(masses[column].Caption, texts.Grams(masses[column].Milligrams), box, masses[column].Bold);
        }

        flow.Y += Row;
        flow.Paragraph(kind, Body, 1);
        flow.Y += 0.8;

        // A bag is weighed at the door, on whatever scale stands there.
        flow.Paragraph(texts[PrintWords.WeightsNotForTrade], new TextStyle(7.5, Soft: true), 1);
    }

    private static void DrawRemarks(Flow flow, IntakeSheet sheet)
    {
        PrintTexts texts = flow.Texts;
        string conditions = sheet.Conditions.Count == 0 ? texts[PrintWords.NoConditions] : string.Join(", ", sheet.Conditions);
        flow.Labelled(texts[PrintWords.Conditions], conditions, Body, 3);
        (string Caption, string? Text, int MostLines)[] remarks =
        [
            (texts[PrintWords.Wishes], sheet.Wishes, 4),
            (texts[PrintWords.Notes], sheet.Notes, 8),
        ];
        foreach ((string caption, string? text, int mostLines) in remarks)
        {
            if (!string.IsNullOrWhiteSpace(text))
            {
                flow.Labelled(caption, text, Body, mostLines);
            }
        }

        if (!string.IsNullOrWhiteSpace(sheet.Quarantine))
        {
            flow.Labelled(texts[PrintWords.Quarantine], sheet.Quarantine, Body with { Bold = true }, 3);
        }
    }

    /// <summary>One box per sentence, touching, so that many cautions can go over a page's end; none is left out.</summary>
    private static void DrawCautions(Flow flow, IntakeSheet sheet)
    {
        const double Bar = 1.6;
        const double Inset = 3.4;
        const double HeadWidth = 30;
        double width = Flow.Width - HeadWidth - 2;
        string? head = flow.Texts[PrintWords.Caution];
        flow.Y += sheet.Cautions.Count > 0 ? 1 : 0;
        foreach (string caution in sheet.Cautions.Where(text => !string.IsNullOrWhiteSpace(text)))
        {
            IReadOnlyList<string> lines = TextLayout.Wrap(caution, width, Body, MostCautionLines);
            double height = ((lines.Count - 1) * Body.LineHeight) + Body.CapHeight + Inset;
            flow.EnsureRoom(height);
            Box box = new(Flow.Left, flow.Y, Flow.Width, height);
            flow.Canvas.Fill(box, Ink.CautionGround);
            flow.Canvas.Fill(box with { Width = Bar }, Ink.Caution);
            string? words = head;
            head = null;
            if (words is not null)
            {
                flow.Canvas.Element(
                    PdfBlockLevelElementTag.Heading2,
                    () => flow.Canvas.Line(words, box.X + Bar + 2, box.Y + (Inset / 2) + Body.CapHeight, HeadWidth - Bar - 4, Body with { Bold = true }));
            }

            flow.Canvas.Element(PdfBlockLevelElementTag.Paragraph, () => flow.Canvas.Lines(lines, box.X + HeadWidth, box.Y + (Inset / 2), Body));
            flow.Y += height;
        }

        flow.Y += sheet.Cautions.Count > 0 ? 2.5 : 0;
    }
}
