using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Relotting;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Relotting;

/// <param name="Grams">What the part weighs; null: its balls' share of the books.</param>
/// <param name="Balls">Whole balls that go; null: part of a ball.</param>
/// <param name="ScaleDivisionGrams">Smallest step of the scale on which the part was weighed; null: as the lot's.</param>
/// <param name="BinCode">Where the new lot goes; null: where the old one lies.</param>
public sealed record SplitInput(decimal? Grams, int? Balls, decimal? ScaleDivisionGrams = null, string? BinCode = null, string? Note = null);

/// <summary>Makes part of a lot a lot of its own, with its own code and all that is known of the old one.</summary>
public sealed class SplitLot(GuildWork work)
{
    private static readonly MovementReason[] Left =
        [MovementReason.HandedOver, MovementReason.WrittenOff, MovementReason.PassedOn, MovementReason.Discarded, MovementReason.GoneMissing];

    /// <returns>The new lot.</returns>
    public Task<Outcome<LotView>> RunAsync(Guid by, Guid lotId, SplitInput input, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => SplitAsync(act, lotId, input), cancellation);

    private static async Task<Outcome<LotView>> SplitAsync(Act act, Guid lotId, SplitInput input)
    {
        Check check = new();
        Mass? grams = input.Grams is { } given ? check.Take(MassLimits.LotMass(given)) : null;
        check.That(input.ScaleDivisionGrams is null or (> 0 and <= LotFields.LargestScaleDivisionGrams), "scaleDivisionGrams",
            "A scale division of {0} g can't be used; allowed is more than 0 and at most {1} g.", input.ScaleDivisionGrams ?? 0, LotFields.LargestScaleDivisionGrams);
        string note = check.Text(input.Note, "note", 500);
        Lot? lot = await LotLock.TakeAsync(act.Db, lotId, act.Cancellation);
        if (lot is null)
        {
            return Refusal.NotFound("There is no such lot.");
        }

        if (await MayBeSplitAsync(act, lot) is { } refusal)
        {
            check.Add(refusal);
        }

        if (check.Failed)
        {
            return check.Refuse<LotView>();
        }

        Outcome<SplitPart> part = SplitRules.Part(await SourceAsync(act, lot), grams, input.Balls);
        Outcome<Bin> bin = string.IsNullOrWhiteSpace(input.BinCode) ? lot.Bin : await BinFinder.ForAsync(act, input.BinCode, "binCode", lot.Bin.IsQuarantine);
        if (!part.IsOk || !bin.IsOk)
        {
            return Outcome<LotView>.Refused([.. part.Refusals, .. bin.Refusals]);
        }

        return await BookAsync(act, lot, part.Value, bin.Value, input, note);
    }

    private static async Task<Refusal?> MayBeSplitAsync(Act act, Lot lot)
    {
        string display = LotCode.Parse(lot.Code).Value.Display;
        return lot switch
        {
            { ClosedAt: not null } => Refusal.Conflict("lot-closed", "Lot {0} is closed: nothing of it is left.", display),
            { MassKnown: false } => Refusal.Conflict("mass-unknown", "Lot {0} was not weighed yet. Weigh it before you split it.", display),
            { QuarantineReason: not null } when await act.Db.FreezerLoads.AnyAsync(l => l.LotId == lot.Id && l.Run.FinishedAt == null, act.Cancellation) =>
                Refusal.Conflict("in-freezer", "Lot {0} is in the freezer. Let the run end before you split it.", display),
            _ => null,
        };
    }

    private static async Task<SplitSource> SourceAsync(Act act, Lot lot) => new(
        LotCode.Parse(lot.Code).Value.Display, await LotPlace.InOwnBinMgAsync(act, lot), lot.HeldMg, lot.Count,
        !await act.Db.Movements.AnyAsync(m => m.LotId == lot.Id && Left.Contains(m.Reason), act.Cancellation));

    private static async Task<Outcome<LotView>> BookAsync(Act act, Lot lot, SplitPart part, Bin bin, SplitInput input, string note)
    {
        Lot split = CopyOf(lot, act);
        long? weighed = input.ScaleDivisionGrams is { } division ? Mass.FromGrams(division).Milligrams : lot.ScaleDivisionMg;
        split.ScaleDivisionMg = part.IsWeighed ? weighed : lot.ScaleDivisionMg;
        lot.ScaleDivisionMg = part.IsWeighed ? WeighingsTogether.Division(lot.ScaleDivisionMg, weighed) : lot.ScaleDivisionMg;
        split.Count = part.Balls;
        lot.Count = part.BallsLeft;
        if (lot.SealedBalls is not null)
        {
            SealedInLot.Split(lot, split, input.Balls, part.Mg, lot.OnHandMg - part.Mg);
            LotFields.Compute(split, act.Yardage);
            LotFields.Compute(lot, act.Yardage);
        }

        split.BinId = bin.Id;
        split.Code = await AddLot.NextCodeAsync(act);
        Relot.Changed(act, lot);
        act.Db.Lots.Add(split);
        await act.Db.SaveChangesAsync(act.Cancellation);

        LotTransfer transfer = new() { Kind = LotTransferKind.Split, FromLotId = lot.Id, ToLotId = split.Id, Mg = part.Mg, Balls = input.Balls ?? 0, At = act.Now, ById = act.By.Id };
        await Relot.ArriveAsync(act, transfer, split, bin, MovementReason.Split, note);
        await Relot.LeaveAsync(act, transfer, lot, MovementReason.Split, note);
        return (await LotViews.ByIdAsync(act, split.Id))!;
    }

    /// <summary>All that is known of the yarn, and nothing of promises, weights and places.</summary>
    private static Lot CopyOf(Lot lot, Act act) => new()
    {
        Code = "",
        BagId = lot.BagId,
        DonationId = lot.DonationId,
        PutUp = lot.PutUp,
        Softness = lot.Softness,
        MachineWashable = lot.MachineWashable,
        CareNotes = lot.CareNotes,
        ColourFamily = lot.ColourFamily,
        ColourHex = lot.ColourHex,
        DyeLot = lot.DyeLot,
        Multicolour = lot.Multicolour,
        Conditions = lot.Conditions,
        Notes = lot.Notes,
        FibreCodes = [.. lot.FibreCodes],
        FibrePercents = [.. lot.FibrePercents],
        FibreBasis = lot.FibreBasis,
        MassKnown = true,
        AssertedClass = lot.AssertedClass,
        WrapsCount = lot.WrapsCount,
        WrapsInches = lot.WrapsInches,
        WrapsRepeats = [.. lot.WrapsRepeats],
        BandMetres = lot.BandMetres,
        BandMg = lot.BandMg,
        Texture = lot.Texture,
        SampleMetres = lot.SampleMetres,
        SampleMg = lot.SampleMg,
        SampleDivisionMg = lot.SampleDivisionMg,
        YarnCount = lot.YarnCount,
        GaugeStitches = lot.GaugeStitches,
        GaugeCm = lot.GaugeCm,
        MaxCelsius = lot.MaxCelsius,
        SampleErrorMetres = lot.SampleErrorMetres,
        SampleIsDifference = lot.SampleIsDifference,
        CountIsResultant = lot.CountIsResultant,
        NamedMetresPer100g = lot.NamedMetresPer100g,
        WeightClass = lot.WeightClass,
        MetresPer100gLow = lot.MetresPer100gLow,
        MetresPer100gLikely = lot.MetresPer100gLikely,
        MetresPer100gHigh = lot.MetresPer100gHigh,
        MetresPer100gMean = lot.MetresPer100gMean,
        LengthSharedSd = lot.LengthSharedSd,
        LengthOwnVariance = lot.LengthOwnVariance,
        YardageEdition = lot.YardageEdition,
        EstimateBasis = lot.EstimateBasis,
        ModelVersion = lot.ModelVersion,
        TableVersion = lot.TableVersion,
        QuarantineReason = lot.QuarantineReason,
        QuarantinedAt = lot.QuarantinedAt,
        CreatedAt = act.Now,
        CreatedById = act.By.Id,
        ChangedAt = act.Now,
        ChangedById = act.By.Id,
    };
}
