using GuildStash.Data.Projects;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Printing;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Printing;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <summary>Puts together the papers of kits: the pick list and the labels.</summary>
public sealed class KitPapers(GuildWork work, PublicAddress address)
{
    /// <summary>Kits on one list or sheet; more are printed in several goes.</summary>
    public const int MostKits = 100;

    /// <param name="numbers">Of the kits, 1 to 100.</param>
    /// <param name="paper">A4 when empty.</param>
    public Task<Outcome<PrintedPaper>> PickListAsync(Guid by, IReadOnlyList<string> numbers, string? paper, PrintTexts texts, CancellationToken cancellation) =>
        work.ReadAsync(by, Role.Volunteer, async act =>
        {
            if ((string.IsNullOrEmpty(paper) ? PaperSize.A4 : PaperSize.Find(paper)) is not { } size)
            {
                return Refusal.Invalid("paper", "There is no paper “{0}” here: {1} are.", paper!, string.Join(", ", PaperSize.All.Select(each => each.Key)));
            }

            Outcome<List<KitView>> kits = await KitsAsync(act, numbers);
            return kits.IsOk ? await PickListAsync(act, kits.Value, size, texts) : Outcome<PrintedPaper>.Refused(kits.Refusals);
        }, cancellation);

    /// <param name="numbers">Of the kits, 1 to 100, each as often as a label is wanted.</param>
    public Task<Outcome<PrintedPaper>> LabelsAsync(Guid by, IReadOnlyList<string> numbers, LabelJob job, PrintTexts texts, CancellationToken cancellation) =>
        work.ReadAsync<PrintedPaper>(by, Role.Volunteer, async act =>
        {
            Outcome<List<KitView>> kits = await KitsAsync(act, numbers);
            if (!kits.IsOk)
            {
                return Outcome<PrintedPaper>.Refused(kits.Refusals);
            }

            List<KitLabel> labels = [];
            foreach (KitView kit in kits.Value)
            {
                Outcome<string> link = QrAddress.For(address, "/k/" + kit.Number);
                if (!link.IsOk)
                {
                    return link.Refusal;
                }

                labels.Add(Label(kit, link.Value, texts));
            }

            return new PrintedPaper("kit-labels.pdf", KitLabelDocument.Render(labels, job.Layout, texts, job.Placement));
        }, cancellation);

    /// <summary>In the order of the numbers; one that is unknown refuses them all.</summary>
    private static async Task<Outcome<List<KitView>>> KitsAsync(Act act, IReadOnlyList<string> numbers)
    {
        if (numbers.Count is < 1 or > MostKits)
        {
            return Refusal.Invalid("kits", "Name 1 to {0} kits; {1} were given.", MostKits, numbers.Count);
        }

        string[] typed = [.. numbers.Select(n => n.Trim().ToUpperInvariant())];
        Dictionary<string, KitView> kits = (await KitViews.ReadAsync(act, act.Db.Kits.Where(k => typed.Contains(k.Number)))).ToDictionary(k => k.Number);
        string? missing = Array.Find(typed, n => !kits.ContainsKey(n));
        return missing is null
            ? typed.Select(n => kits[n]).ToList()
            : Refusal.NotFound("There is no kit {0}. Check the number on its label.", missing.Length <= 20 ? missing : missing[..20] + "…");
    }

    private async Task<Outcome<PrintedPaper>> PickListAsync(Act act, List<KitView> kits, PaperSize size, PrintTexts texts)
    {
        List<(KitView Kit, KitLineView Line)> lines = [.. kits.DistinctBy(k => k.Id).SelectMany(k => PickLines.Of(k).Select(l => (k, l)))];
        if (lines.Count is 0 or > KitPickListDocument.MostRows)
        {
            return lines.Count == 0
                ? Refusal.Conflict("nothing-to-fetch", "Nothing of these kits is to be fetched: it went home, was put back, or is not held any more.")
                : Refusal.Invalid("kits", "These kits have {0} lines; a list takes {1}. Print fewer kits at once.", lines.Count, KitPickListDocument.MostRows);
        }

        List<KitPickRow> rows = [];
        foreach ((KitView kit, KitLineView line) in lines)
        {
            Outcome<string> link = LotOnPaper.Link(address, line.Lot.Code);
            if (!link.IsOk)
            {
                return link.Refusal;
            }

            rows.Add(Row(kit, line, link.Value, texts));
        }

        KitPickList list = new()
        {
            GuildName = await act.Db.Guilds.Select(g => g.Name).SingleAsync(act.Cancellation),
            For = string.Join(" · ", kits.Select(k => k.ProjectName ?? k.PieceName).Distinct().Take(3)),
            Kits = [.. lines.Select(l => l.Kit.Number).Distinct()],
            IsForTrade = lines.TrueForAll(l => l.Line.Lot.WeighedForTrade),
            Rows = rows,
        };
        return new PrintedPaper(list.Kits is [{ } one] ? $"{one}.pdf" : "pick-list.pdf", KitPickListDocument.Render(list, size, texts));
    }

    private static KitPickRow Row(KitView kit, KitLineView line, string link, PrintTexts texts) => new()
    {
        KitNumber = kit.Number,
        Part = KitWords.Part(line.Part, key => texts.Localise(key, [])),
        LotCode = line.Lot.Display,
        Colour = LotOnPaper.Colour(line.Lot, texts),
        WeightClass = LotOnPaper.WeightClass(line.Lot, texts),
        MilligramsToTake = line.WeighedMg ?? line.PlannedMg,
        BinCode = line.Lot.BinDisplay,
        Site = line.Site,
        IsPicked = line.IsPicked,
        Url = link,
    };

    private static KitLabel Label(KitView kit, string link, PrintTexts texts)
    {
        List<LotView> lots = [.. kit.Lines.Select(l => l.Lot).DistinctBy(l => l.Id)];
        return new KitLabel
        {
            Number = kit.Number,
            Url = link,
            Piece = kit.PieceName,
            Pieces = kit.Pieces,
            Project = kit.ProjectName,
            Colours = [.. lots.Select(l => LotOnPaper.Colour(l, texts))],
            Milligrams = kit.Lines.Sum(l => l.WeighedMg ?? l.PlannedMg),
            Lots = lots.Count,
            IsPacked = kit.PackedAt is not null,
            Care = string.Join("; ", lots.Select(l => LotOnPaper.Fibres(l, texts)).Distinct().Append(Washing(lots, texts))),
        };
    }

    /// <summary>A piece is washed as its most delicate yarn bears.</summary>
    private static string Washing(List<LotView> lots, PrintTexts texts) => texts.Localise(
        lots.Exists(l => l.MachineWashable == Tristate.No) ? "hand wash"
        : lots.TrueForAll(l => l.MachineWashable == Tristate.Yes) ? "machine washable" : "washing not known", []);
}
