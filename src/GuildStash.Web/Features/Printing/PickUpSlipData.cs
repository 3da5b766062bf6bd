using GuildStash.Data.Guild;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Printing;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Printing;

/// <summary>Puts together the slip with which a request's lots are fetched: a member's own, or anybody's for a volunteer.</summary>
public sealed class PickUpSlipData(GuildWork work, HandOverReader desk, PublicAddress address)
{
    public async Task<Outcome<PrintedPaper>> PrintAsync(Guid by, Guid requestId, PrintTexts texts, CancellationToken cancellation)
    {
        Outcome<PickUpSlip> slip = await SlipAsync(by, requestId, texts, cancellation);
        return slip.IsOk
            ? new PrintedPaper($"{slip.Value.SlipNumber}.pdf", PickUpSlipDocument.Render(slip.Value, texts))
            : Outcome<PrintedPaper>.Refused(slip.Refusals);
    }

    public async Task<Outcome<PickUpSlip>> SlipAsync(Guid by, Guid requestId, PrintTexts texts, CancellationToken cancellation)
    {
        Outcome<WaitingRequest> request = await desk.RequestAsync(by, requestId, cancellation);
        if (!request.IsOk)
        {
            return Outcome<PickUpSlip>.Refused(request.Refusals);
        }

        List<PickUpRow> rows = [];
        foreach (HoldLine hold in request.Value.Holds)
        {
            Outcome<string> link = LotOnPaper.Link(address, hold.Lot.Code);
            if (!link.IsOk)
            {
                return link.Refusal;
            }

            rows.Add(Row(hold, link.Value, texts));
        }

        return await work.ReadAsync<PickUpSlip>(by, Role.Member, async act =>
        {
            GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
            return new PickUpSlip
            {
                GuildName = guild.Name,
                SlipNumber = request.Value.Number,
                MemberName = request.Value.MemberName,
                ProjectName = request.Value.ProjectName,
                DueOn = DueIfTakenToday(guild, act.Now),
                KeptUntil = GuildClock.Today(guild, request.Value.LapsesAt),
                Rows = rows,
                IsForTrade = request.Value.Holds.All(h => h.Lot.WeighedForTrade),
            };
        }, cancellation);
    }

    /// <summary>The slip is printed to fetch the yarn for a member who has come for it, so the loan counts from today.</summary>
    private static DateOnly DueIfTakenToday(GuildSettings guild, DateTimeOffset now) => GuildClock.Today(guild, now).AddDays(guild.LoanDays);

    private static PickUpRow Row(HoldLine hold, string link, PrintTexts texts) => new()
    {
        LotCode = hold.Lot.Display,
        Colour = LotOnPaper.Colour(hold.Lot, texts),
        WeightClass = LotOnPaper.WeightClass(hold.Lot, texts),
        MilligramsToTake = hold.Mg,
        LowMetres = hold.MetresLow,
        BinCode = hold.Lot.BinDisplay,
        Url = link,
    };
}
