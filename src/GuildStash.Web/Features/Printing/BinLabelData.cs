using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Printing;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Printing;

/// <summary>Puts together what stands on bins' labels.</summary>
public sealed class BinLabelData(GuildWork work, PublicAddress address)
{
    /// <summary>One label on a page of its own size.</summary>
    public async Task<Outcome<PrintedPaper>> PrintOneAsync(Guid by, string code, PrintTexts texts, CancellationToken cancellation)
    {
        Outcome<IReadOnlyList<BinLabel>> label = await LabelsAsync(by, [code], cancellation);
        return label.IsOk
            ? new PrintedPaper($"bin-{label.Value[0].Code}.pdf", BinLabelDocument.RenderSingle(label.Value[0], texts))
            : Outcome<PrintedPaper>.Refused(label.Refusals);
    }

    /// <summary>Sheets of labels, in the order of the codes.</summary>
    public async Task<Outcome<PrintedPaper>> PrintAsync(Guid by, IReadOnlyList<string> codes, LabelJob job, PrintTexts texts, CancellationToken cancellation)
    {
        Outcome<IReadOnlyList<BinLabel>> labels = await LabelsAsync(by, codes, cancellation);
        return labels.IsOk
            ? new PrintedPaper("bin-labels.pdf", BinLabelDocument.Render(labels.Value, job.Layout, texts, job.Placement))
            : Outcome<PrintedPaper>.Refused(labels.Refusals);
    }

    /// <summary>Labels in the order of the codes; a code that is mistyped or unknown refuses them all.</summary>
    public Task<Outcome<IReadOnlyList<BinLabel>>> LabelsAsync(Guid by, IReadOnlyList<string> codes, CancellationToken cancellation) =>
        work.ReadAsync(by, Role.Member, act => LabelsAsync(act, codes), cancellation);

    private async Task<Outcome<IReadOnlyList<BinLabel>>> LabelsAsync(Act act, IReadOnlyList<string> typed)
    {
        List<string> codes = [];
        foreach (string one in typed)
        {
            Outcome<BinCode> code = BinCode.Parse(one);
            if (!code.IsOk)
            {
                return code.Refusal with { Kind = RefusalKind.NotFound, Rule = "not-found" };
            }

            codes.Add(code.Value.Value);
        }

        Dictionary<string, Bin> bins = await act.Db.Bins.Include(b => b.Site).Where(b => codes.Contains(b.Code)).ToDictionaryAsync(b => b.Code, act.Cancellation);
        bool severalSites = await act.Db.Sites.CountAsync(act.Cancellation) > 1;
        List<BinLabel> labels = [];
        foreach (string code in codes)
        {
            string display = BinCode.Parse(code).Value.Display;
            if (!bins.TryGetValue(code, out Bin? bin))
            {
                return Refusal.NotFound("There is no bin {0}. Check the label.", display);
            }

            Outcome<string> link = QrAddress.For(address, "/b/" + code);
            if (!link.IsOk)
            {
                return link.Refusal;
            }

            labels.Add(new BinLabel(display, link.Value, bin.Name, bin.Place, severalSites ? bin.Site.Name : null, bin.IsQuarantine));
        }

        return labels;
    }
}
