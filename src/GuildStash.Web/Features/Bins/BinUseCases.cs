using GuildStash.Data.Guild;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Bins;

/// <summary>A bin as it is entered.</summary>
/// <param name="SiteId">Null: the guild's first site.</param>
/// <param name="Litres">Volume, for the fill estimate; null where nobody knows.</param>
/// <param name="TareGrams">What it weighs empty, to count it by weighing it whole; null where nobody knows.</param>
/// <param name="TareDivisionGrams">Smallest step of the scale that weighed it empty.</param>
public sealed record BinInput(string? Name, BinKind Kind, Guid? SiteId, string? Place, decimal? Litres, string? Notes, decimal? TareGrams = null, decimal? TareDivisionGrams = null);

public sealed record BinView
{
    /// <summary>Grams a litre of bin takes when it is well filled (common practice, 60 to 120; a guild calibrates with one full bin).</summary>
    public const decimal GramsPerLitre = 80;

    public required Guid Id { get; init; }

    public required string Code { get; init; }

    public required string Name { get; init; }

    public required BinKind Kind { get; init; }

    public required Guid SiteId { get; init; }

    public required string SiteName { get; init; }

    public string Place { get; init; } = "";

    public decimal? Litres { get; init; }

    /// <summary>What it weighs empty; null where nobody noted it.</summary>
    public long? TareMg { get; init; }

    public long? TareDivisionMg { get; init; }

    public string Notes { get; init; } = "";

    public int Version { get; init; }

    public bool IsClosed { get; init; }

    public DateTimeOffset? LastCountedAt { get; init; }

    public int Lots { get; init; }

    /// <summary>All that lies in it, leftovers that wait for inspection included.</summary>
    public long Mg { get; init; }

    /// <summary>Returns of lots of other bins that wait here for their inspection.</summary>
    public int Leftovers { get; init; }

    public long LeftoversMg { get; init; }

    public string Display => BinCode.Parse(Code).Value.Display;

    /// <summary>About how full it is, 0 to 1 and beyond; null without litres.</summary>
    public decimal? Fill => Litres is > 0 ? Mg / 1000m / (Litres.Value * GramsPerLitre) : null;
}

/// <summary>Makes a bin with a code of its own.</summary>
public sealed class CreateBin(GuildWork work)
{
    public Task<Outcome<BinView>> RunAsync(Guid by, BinInput input, CancellationToken cancellation) =>
        work.WriteAsync<BinView>(by, Role.Volunteer, async act =>
        {
            Check check = new();
            Bin bin = new() { Code = "", Name = "", CreatedAt = act.Now, CreatedById = act.By.Id, ChangedAt = act.Now, ChangedById = act.By.Id, Kind = input.Kind };
            await BinFields.ApplyAsync(act, bin, input, check);
            if (check.Failed)
            {
                return check.Refuse<BinView>();
            }

            bin.Code = await BinFields.NextCodeAsync(act.Db, act.Cancellation);
            act.Db.Bins.Add(bin);
            await act.Db.SaveChangesAsync(act.Cancellation);
            return await BinFields.Views(act.Db.Bins.Where(b => b.Id == bin.Id), act).SingleAsync(act.Cancellation);
        }, cancellation);
}

/// <summary>Changes what is written about a bin; its kind stays, since what lies in it depends on it.</summary>
public sealed class EditBin(GuildWork work)
{
    public Task<Outcome<BinView>> RunAsync(Guid by, Guid binId, int version, BinInput input, CancellationToken cancellation) =>
        work.WriteAsync<BinView>(by, Role.Volunteer, async act =>
        {
            Bin? bin = await act.Db.Bins.SingleOrDefaultAsync(b => b.Id == binId, act.Cancellation);
            if (bin is null)
            {
                return Refusal.NotFound("There is no such bin.");
            }

            if (bin.Version != version)
            {
                return Refusal.Conflict("changed-meanwhile", "Somebody else changed this bin meanwhile. Reload to see the present state, then enter your change again.");
            }

            Check check = new();
            await BinFields.ApplyAsync(act, bin, input with { Kind = bin.Kind }, check);
            if (check.Failed)
            {
                return check.Refuse<BinView>();
            }

            bin.Version++;
            bin.ChangedAt = act.Now;
            bin.ChangedById = act.By.Id;
            await act.Db.SaveChangesAsync(act.Cancellation);
            return await BinFields.Views(act.Db.Bins.Where(b => b.Id == bin.Id), act).SingleAsync(act.Cancellation);
        }, cancellation);
}

/// <summary>Takes an empty bin out of use, or back into it.</summary>
public sealed class CloseBin(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid binId, bool close, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Volunteer, async act =>
        {
            // The strongest lock: it waits for whoever puts yarn in at this moment, and makes the next one wait.
            await act.Db.Database.ExecuteSqlAsync($"select 1 from bin where id = {binId} for update", act.Cancellation);
            Bin? bin = await act.Db.Bins.SingleOrDefaultAsync(b => b.Id == binId, act.Cancellation);
            if (bin is null)
            {
                return Refusal.NotFound("There is no such bin.");
            }

            if (close && await act.Db.Lots.AnyAsync(l => l.BinId == binId && l.ClosedAt == null, act.Cancellation))
            {
                return Refusal.Conflict("bin-not-empty", "Bin {0} still has lots. Move them first.", BinCode.Parse(bin.Code).Value.Display);
            }

            if (close && await act.Db.LotReturns.AnyAsync(r => r.QuarantineBinId == binId && r.SettledAt == null, act.Cancellation))
            {
                return Refusal.Conflict("bin-not-empty", "Leftovers wait in bin {0} for an inspection. Inspect them first.", BinCode.Parse(bin.Code).Value.Display);
            }

            if (close && bin.Kind == BinKind.SortingTable)
            {
                return Refusal.Conflict("bin-is-needed", "The sorting table can't be closed: sorted yarn lies there until it has a bin.");
            }

            bin.ClosedAt = close ? act.Now : null;
            bin.ChangedAt = act.Now;
            bin.ChangedById = act.By.Id;
            bin.Version++;
            return true;
        }, cancellation);
}

/// <summary>Reads bins with what lies in them.</summary>
public sealed class BinReader(GuildWork work)
{
    public Task<Outcome<IReadOnlyList<BinView>>> ListAsync(Guid by, bool withClosed, CancellationToken cancellation) =>
        work.ReadAsync<IReadOnlyList<BinView>>(by, Role.Member, async act =>
            await BinFields.Views(act.Db.Bins.Where(b => withClosed || b.ClosedAt == null), act)
                .OrderBy(b => b.SiteName).ThenBy(b => b.Kind).ThenBy(b => b.Name).Take(2000).ToListAsync(act.Cancellation), cancellation);

    /// <summary>One page of the bins, by site, then kind and name.</summary>
    /// <param name="query">Words of name, place or code; null for all.</param>
    public Task<Outcome<PageOf<BinView>>> PageAsync(Guid by, bool withClosed, string? query, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<BinView>>(by, Role.Member, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            IQueryable<Bin> bins = act.Db.Bins.Where(b => withClosed || b.ClosedAt == null);
            if (!string.IsNullOrWhiteSpace(query))
            {
                string like = LikePattern.Containing(query);
                string code = LikePattern.Containing(query.Replace("-", "", StringComparison.Ordinal));
                bins = bins.Where(b => EF.Functions.ILike(b.Name, like, LikePattern.EscapeSign) || EF.Functions.ILike(b.Place, like, LikePattern.EscapeSign) || EF.Functions.ILike(b.Site.Name, like, LikePattern.EscapeSign) || EF.Functions.ILike(b.Code, code, LikePattern.EscapeSign));
            }

            return await BinFields.Views(bins, act).OrderBy(b => b.SiteName).ThenBy(b => b.Kind).ThenBy(b => b.Name).ThenBy(b => b.Code).PageAsync(page, act.Cancellation);
        }, cancellation);

    public Task<Outcome<BinView>> ByCodeAsync(Guid by, string? typed, CancellationToken cancellation) =>
        work.ReadAsync<BinView>(by, Role.Member, async act =>
        {
            Outcome<BinCode> code = BinCode.Parse(typed ?? "");
            if (!code.IsOk)
            {
                return code.Refusal with { Kind = RefusalKind.NotFound, Rule = "not-found" };
            }

            string value = code.Value.Value;
            BinView? bin = await BinFields.Views(act.Db.Bins.Where(b => b.Code == value), act).SingleOrDefaultAsync(act.Cancellation);
            return bin is not null ? bin : Refusal.NotFound("There is no bin {0}. Check the label.", code.Value.Display);
        }, cancellation);

    public Task<Outcome<IReadOnlyList<Site>>> SitesAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<IReadOnlyList<Site>>(by, Role.Member, async act => await act.Db.Sites.OrderBy(s => s.Name).Take(500).ToListAsync(act.Cancellation), cancellation);
}

/// <summary>Adds a site: another room or house with bins.</summary>
public sealed class CreateSite(GuildWork work)
{
    public Task<Outcome<Guid>> RunAsync(Guid by, string? name, CancellationToken cancellation) =>
        work.WriteAsync<Guid>(by, Role.Coordinator, async act =>
        {
            Check check = new();
            Site site = new() { Name = check.Needed(name, "name", 100) };
            check.That(!await act.Db.Sites.AnyAsync(s => s.Name == site.Name, act.Cancellation), "name", "There is a site of that name already.");
            if (check.Failed)
            {
                return check.Refuse<Guid>();
            }

            act.Db.Sites.Add(site);
            return site.Id;
        }, cancellation);
}

internal static class BinFields
{
    public static async Task ApplyAsync(Act act, Bin bin, BinInput input, Check check)
    {
        bin.Name = check.Needed(input.Name, "name", 100);
        bin.Place = check.Text(input.Place, "place", 200);
        bin.Notes = check.Text(input.Notes, "notes", 1000);
        check.That(input.Litres is null or (> 0 and <= 1000), "litres", "A bin of {0} litres can't be; allowed is more than 0 and at most 1,000.", input.Litres ?? 0);
        bin.Litres = input.Litres;
        check.That(input.TareGrams is null or (> 0 and <= 25_000), "tareGrams", "An empty bin of {0} g can't be; allowed is more than 0 and at most 25,000.", input.TareGrams ?? 0);
        check.That(input.TareDivisionGrams is null or (> 0 and <= 1000), "tareDivisionGrams", "A scale division of {0} g can't be used; allowed is more than 0 and at most {1} g.", input.TareDivisionGrams ?? 0, 1000);
        if (!check.Failed)
        {
            bin.TareMg = input.TareGrams is { } tare ? Mass.FromGrams(tare).Milligrams : null;
            bin.TareDivisionMg = input is { TareGrams: not null, TareDivisionGrams: { } division } ? Mass.FromGrams(division).Milligrams : null;
        }

        Site? site = input.SiteId is { } id
            ? await act.Db.Sites.SingleOrDefaultAsync(s => s.Id == id, act.Cancellation)
            : await act.Db.Sites.OrderBy(s => s.Id).FirstAsync(act.Cancellation);
        check.That(site is not null, "siteId", "There is no such site.");
        bin.SiteId = site?.Id ?? Guid.Empty;
    }

    public static async Task<string> NextCodeAsync(Data.GuildDbContext db, CancellationToken cancellation)
    {
        long serial;
        do
        {
            serial = await Numbers.NextAsync(db, Numbers.Bins, 0, cancellation);
        }
        while (!BinCode.IsUsable(serial));
        return BinCode.FromSerial(serial).Value;
    }

    public static IQueryable<BinView> Views(IQueryable<Bin> bins, Act act) =>
        bins.AsNoTracking().Select(b => new BinView
        {
            Id = b.Id,
            Code = b.Code,
            Name = b.Name,
            Kind = b.Kind,
            SiteId = b.SiteId,
            SiteName = b.Site.Name,
            Place = b.Place,
            Litres = b.Litres,
            TareMg = b.TareMg,
            TareDivisionMg = b.TareDivisionMg,
            Notes = b.Notes,
            Version = b.Version,
            IsClosed = b.ClosedAt != null,
            LastCountedAt = b.LastCountedAt,
            Lots = act.Db.Lots.Count(l => l.BinId == b.Id && l.ClosedAt == null && (l.OnHandMg > 0 || !l.MassKnown)),
            Mg = act.Db.Lots.Where(l => l.BinId == b.Id && l.ClosedAt == null).Sum(l => l.QuarantineReason == null ? l.OnHandMg - l.QuarantinedMg : l.OnHandMg)
                + act.Db.LotReturns.Where(r => r.QuarantineBinId == b.Id && r.SettledAt == null && r.Lot.QuarantineReason == null).Sum(r => r.Mg),
            Leftovers = act.Db.LotReturns.Count(r => r.QuarantineBinId == b.Id && r.SettledAt == null),
            LeftoversMg = act.Db.LotReturns.Where(r => r.QuarantineBinId == b.Id && r.SettledAt == null).Sum(r => r.Mg),
        });
}
