using System.Globalization;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using Microsoft.AspNetCore.WebUtilities;
using Microsoft.Extensions.Primitives;

namespace GuildStash.Web.Features.Inventory;

/// <summary>The filters as they stand in an address, so that a link, a bookmark and the way back show the same lots.</summary>
public sealed record LotFilterAddress
{
    /// <summary>In place of a class, colour or fibre: lots of which nobody knows it.</summary>
    public const string Unknown = "unknown";

    /// <summary>In place of a status: what lies in open bins, reserved yarn included.</summary>
    public const string OnShelves = "shelves";

    private const string Within = "within-";
    private const string Over = "over-";
    private const int MostDays = 36_500;
    private const double MostMetres = 1_000_000;

    private static readonly Dictionary<string, LotStatus> Statuses = Enum.GetValues<LotStatus>().ToDictionary(KeyOf, StringComparer.OrdinalIgnoreCase);

    public string? Class { get; init; }

    public string? Colour { get; init; }

    public string? Fibre { get; init; }

    /// <summary>"yes", or "no" for what is not known to be machine washable.</summary>
    public string? Washable { get; init; }

    public string? DyeLot { get; init; }

    public string? Bin { get; init; }

    public string? Status { get; init; }

    /// <summary>"within-30" or "over-180" days since it was sorted.</summary>
    public string? Age { get; init; }

    /// <summary>At least so many metres free, invariant, whatever unit the person types in.</summary>
    public string? Metres { get; init; }

    public string? Query { get; init; }

    /// <summary>Key of a project: what it may take.</summary>
    public string? Project { get; init; }

    public double? MinMetres => double.TryParse(Metres, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out double metres) && metres is > 0 and <= MostMetres ? metres : null;

    /// <summary>The part of the stock that wall and table show: what is free, unless another one is asked for.</summary>
    public StockPart Part => Is(Status, OnShelves) ? StockPart.OnShelves : Is(Status, KeyOf(LotStatus.Quarantined)) ? StockPart.InQuarantine : StockPart.Free;

    /// <summary>Name and value of each filter that is set.</summary>
    public IEnumerable<(string Name, string Value)> Parts =>
        All.Where(part => !string.IsNullOrWhiteSpace(part.Value)).Select(part => (part.Name, part.Value!.Trim()));

    private IEnumerable<(string Name, string? Value)> All =>
    [
        ("class", Class), ("colour", Colour), ("fibre", Fibre), ("washable", Washable), ("dyeLot", DyeLot),
        ("bin", Bin), ("status", Status), ("age", Age), ("metres", Metres), ("q", Query), ("project", Project),
    ];

    public static string KeyOf(LotStatus status) => status.ToString().ToLowerInvariant();

    public static string WithinDays(int days) => Within + days.ToString(CultureInfo.InvariantCulture);

    public static string OverDays(int days) => Over + days.ToString(CultureInfo.InvariantCulture);

    /// <summary>Days of an age and whether it is a most; null where it can't be read.</summary>
    public static (int Days, bool AtMost)? ReadAge(string? age)
    {
        bool within = age?.StartsWith(Within, StringComparison.OrdinalIgnoreCase) == true;
        bool over = age?.StartsWith(Over, StringComparison.OrdinalIgnoreCase) == true;
        return (within || over) && int.TryParse(age![(within ? Within : Over).Length..], NumberStyles.None, CultureInfo.InvariantCulture, out int days) && days <= MostDays
            ? (days, within)
            : null;
    }

    /// <summary>Whether wall, table and charts show what these filters ask for; a state such as "all reserved" only the list knows.</summary>
    public bool FitsParts => string.IsNullOrWhiteSpace(Status) || Is(Status, KeyOf(LotStatus.Available)) || Part != StockPart.Free;

    /// <summary>As wall, table and charts understand it: a state that is no part of the stock says nothing there.</summary>
    public LotFilterAddress ForParts() => Part == StockPart.Free ? this with { Status = null } : this;

    /// <summary>The filters that are set, without the question mark: "class=dk&amp;colour=blue".</summary>
    public string ToQuery() => Href("").TrimStart('?');

    /// <summary>Reads what <see cref="ToQuery"/> wrote; names that are no filters are passed over.</summary>
    public static LotFilterAddress OfQuery(string query)
    {
        Dictionary<string, StringValues> parts = QueryHelpers.ParseQuery(query);
        string? Of(string name) => parts.TryGetValue(name, out StringValues values) ? values[0] : null;
        return new LotFilterAddress
        {
            Class = Of("class"),
            Colour = Of("colour"),
            Fibre = Of("fibre"),
            Washable = Of("washable"),
            DyeLot = Of("dyeLot"),
            Bin = Of("bin"),
            Status = Of("status"),
            Age = Of("age"),
            Metres = Of("metres"),
            Query = Of("q"),
            Project = Of("project"),
        };
    }

    /// <summary>The same without one filter.</summary>
    public LotFilterAddress Without(string name) => name switch
    {
        "class" => this with { Class = null },
        "colour" => this with { Colour = null },
        "fibre" => this with { Fibre = null },
        "washable" => this with { Washable = null },
        "dyeLot" => this with { DyeLot = null },
        "bin" => this with { Bin = null },
        "status" => this with { Status = null },
        "age" => this with { Age = null },
        "metres" => this with { Metres = null },
        "q" => this with { Query = null },
        "project" => this with { Project = null },
        _ => throw new ArgumentOutOfRangeException(nameof(name), name, "Not a filter."),
    };

    /// <summary>A path with these filters and whatever else belongs to the page.</summary>
    public string Href(string path, params (string Name, string? Value)[] more) =>
        QueryHelpers.AddQueryString(path, Parts.Select(p => new KeyValuePair<string, string?>(p.Name, p.Value))
            .Concat(more.Where(m => m.Value is not null).Select(m => new KeyValuePair<string, string?>(m.Name, m.Value))));

    /// <summary>The filter, and a sentence for each part of the address that can't be read and was left out.</summary>
    public LotFilter Read(ICollection<Phrase> leftOut)
    {
        bool classKnown = WeightClassTerms.TryParse(Class, out WeightClass weightClass);
        bool colourKnown = ColourFamilyTerms.TryParse(Colour, out ColourFamily colour);
        bool fibreKnown = FibreTable.TryFind(Fibre, out Fibre? fibre);
        bool statusKnown = Statuses.TryGetValue(Status?.Trim() ?? "", out LotStatus status);
        (int Days, bool AtMost)? age = ReadAge(Age);
        void Need(bool read, string? value, string sentence)
        {
            if (!read && !string.IsNullOrWhiteSpace(value))
            {
                leftOut.Add(new Phrase(sentence, value.Length > 40 ? value[..40] + "…" : value));
            }
        }

        Need(classKnown || Is(Class, Unknown), Class, "“{0}” is no weight class; it was left out.");
        Need(colourKnown || Is(Colour, Unknown), Colour, "“{0}” is no colour family; it was left out.");
        Need(fibreKnown || Is(Fibre, Unknown), Fibre, "“{0}” is no fibre code; it was left out.");
        Need(statusKnown || Is(Status, OnShelves), Status, "“{0}” is no state of a lot; it was left out.");
        Need(age is not null, Age, "“{0}” is no age; it was left out.");
        Need(MinMetres is not null, Metres, "“{0}” is no length in metres; it was left out.");
        Need(Is(Washable, "yes") || Is(Washable, "no"), Washable, "“{0}” does not say whether it is washable; it was left out.");
        bool projectKnown = Guid.TryParse(Project, out Guid project);
        Need(projectKnown, Project, "“{0}” is no project; it was left out.");
        return new LotFilter
        {
            ProjectId = projectKnown ? project : null,
            WeightClass = classKnown ? weightClass : null,
            ClassUnknown = Is(Class, Unknown),
            ColourFamily = colourKnown ? colour : null,
            ColourUnknown = Is(Colour, Unknown),
            Fibre = fibreKnown ? fibre!.Code : Is(Fibre, Unknown) ? Unknown : null,
            Washable = Is(Washable, "yes") ? true : Is(Washable, "no") ? false : null,
            DyeLot = DyeLot,
            BinCode = Bin,
            Status = statusKnown ? status : null,
            Part = Is(Status, OnShelves) ? StockPart.OnShelves : null,
            AtMostDaysOld = age is { AtMost: true } most ? most.Days : null,
            AtLeastDaysOld = age is { AtMost: false } least ? least.Days : null,
            MinMetres = MinMetres,
            Query = Query,
        };
    }

    private static bool Is(string? value, string key) => string.Equals(value?.Trim(), key, StringComparison.OrdinalIgnoreCase);
}
