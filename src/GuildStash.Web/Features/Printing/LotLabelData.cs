using GuildStash.Domain.Codes;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Printing;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Printing;

/// <summary>Puts together what hangs on lots.</summary>
public sealed class LotLabelData(GuildWork work, PublicAddress address)
{
    /// <summary>Sheets of labels, in the order of the codes.</summary>
    public async Task<Outcome<PrintedPaper>> PrintAsync(Guid by, IReadOnlyList<string> codes, LabelJob job, PrintTexts texts, CancellationToken cancellation)
    {
        Outcome<IReadOnlyList<LotLabel>> labels = await LabelsAsync(by, codes, texts, cancellation);
        return labels.IsOk
            ? new PrintedPaper("lot-labels.pdf", LotLabelDocument.Render(labels.Value, job.Layout, texts, job.Placement))
            : Outcome<PrintedPaper>.Refused(labels.Refusals);
    }

    /// <summary>Labels in the order of the codes; a code that is mistyped or unknown refuses them all. The code of a lot that went into another one gives that one's label, which says so.</summary>
    public Task<Outcome<IReadOnlyList<LotLabel>>> LabelsAsync(Guid by, IReadOnlyList<string> codes, PrintTexts texts, CancellationToken cancellation) =>
        work.ReadAsync(by, Role.Member, act => LabelsAsync(act, codes, texts), cancellation);

    private async Task<Outcome<IReadOnlyList<LotLabel>>> LabelsAsync(Act act, IReadOnlyList<string> typed, PrintTexts texts)
    {
        List<string> codes = [];
        foreach (string one in typed)
        {
            Outcome<LotCode> code = LotCode.Parse(one);
            if (!code.IsOk)
            {
                return code.Refusal with { Kind = RefusalKind.NotFound, Rule = "not-found" };
            }

            codes.Add(code.Value.Value);
        }

        IReadOnlyDictionary<string, string> followed = await LotSurvivor.CodesAsync(act, codes);
        string[] living = [.. codes.Select(c => followed.GetValueOrDefault(c, c))];
        Dictionary<string, LotView> lots = (await LotViews.Rows(act.Db.Lots.Where(l => living.Contains(l.Code))).ToListAsync(act.Cancellation))
            .ToDictionary(r => r.Lot.Code, r => LotViews.From(r, act.Yardage));
        List<LotLabel> labels = [];
        foreach (string code in codes)
        {
            if (!lots.TryGetValue(followed.GetValueOrDefault(code, code), out LotView? lot))
            {
                return Refusal.NotFound("There is no lot {0}. Check the label.", LotCode.Parse(code).Value.Display);
            }

            Outcome<string> link = LotOnPaper.Link(address, lot.Code);
            if (!link.IsOk)
            {
                return link.Refusal;
            }

            labels.Add(Label(lot, link.Value, texts) with { Formerly = followed.ContainsKey(code) ? LotCode.Parse(code).Value.Display : null });
        }

        return labels;
    }

    private static LotLabel Label(LotView lot, string link, PrintTexts texts) => new()
    {
        Code = lot.Display,
        Url = link,
        Colour = LotOnPaper.Colour(lot, texts),
        WeightClass = LotOnPaper.WeightClass(lot, texts),
        Length = LotOnPaper.Length(lot),
        Milligrams = lot.OnHandMg,
        IsForTrade = lot.WeighedForTrade,
        Pieces = LotOnPaper.Pieces(lot, texts),
        Fibres = LotOnPaper.Fibres(lot, texts),
        BinCode = lot.BinDisplay,
        IsQuarantined = lot.Status == LotStatus.Quarantined,
    };
}
