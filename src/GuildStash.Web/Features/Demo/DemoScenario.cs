using System.Text.Json;
using System.Text.Json.Serialization;
using GuildStash.Data.Stock;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Features.Pieces;

namespace GuildStash.Web.Features.Demo;

/// <summary>The invented guild that seed-demo/guild.json describes; nobody and nothing in it is real.</summary>
public sealed record DemoScenario(
    DemoGuildFacts Guild,
    string Password,
    IReadOnlyList<DemoAccount> Accounts,
    IReadOnlyList<DemoDonor> Donors,
    IReadOnlyList<DemoBin> Bins,
    IReadOnlyList<string> Wishes,
    IReadOnlyList<DemoYarn> Yarns,
    IReadOnlyList<string> Colours,
    IReadOnlyList<DemoProject> Projects,
    IReadOnlyList<BookPieceInput> PieceBook)
{
    private static readonly JsonSerializerOptions Options = new(JsonSerializerDefaults.Web) { Converters = { new JsonStringEnumConverter() } };

    /// <summary>Folder of the scenario beside the program.</summary>
    public static string DefaultFolder => Path.Combine(AppContext.BaseDirectory, "seed-demo");

    public static async Task<DemoScenario> ReadAsync(string folder, CancellationToken cancellation)
    {
        await using FileStream file = File.OpenRead(Path.Combine(folder, "guild.json"));
        return await JsonSerializer.DeserializeAsync<DemoScenario>(file, Options, cancellation)
            ?? throw new InvalidDataException($"The demo scenario in {folder} is empty.");
    }
}

public sealed record DemoGuildFacts(string Name, string Address, string TimeZone, string Culture);

public sealed record DemoAccount(string Name, string Email, Role Role);

public sealed record DemoDonor(string Name, string Contact);

/// <param name="Classes">Weight classes that lie in it; none for a bin that nothing is sorted into.</param>
/// <param name="Families">Colour families that lie in it; none: all.</param>
/// <param name="Cones">Takes cones and nothing else.</param>
public sealed record DemoBin(string Name, string Place, decimal Litres, BinKind Kind, IReadOnlyList<WeightClass> Classes, IReadOnlyList<ColourFamily> Families, bool Cones);

/// <param name="Fibres">Pairs of code and percent.</param>
public sealed record DemoYarn(WeightClass Class, IReadOnlyList<int> Wraps, IReadOnlyList<IReadOnlyList<JsonElement>> Fibres, Tristate Washable, int MetresPer50);

/// <param name="Book">Name in the piece book; null: nobody has said.</param>
public sealed record DemoPiece(string Name, int Wanted, string Notes, string? Book = null, int Priority = 1);

/// <param name="ClosedDaysAgo">Null: still running.</param>
/// <param name="DeadlineInDays">From today; negative for one that is past.</param>
/// <param name="PublicName">Null: members alone see it.</param>
public sealed record DemoProject(
    string Name, string Recipient, IReadOnlyList<RecipientRules> Rules, string Description, int StartedDaysAgo, int? ClosedDaysAgo, int DeadlineInDays, IReadOnlyList<DemoPiece> Pieces,
    string? PublicName = null)
{
    internal RecipientRules AllRules => Rules.Aggregate(RecipientRules.None, (all, rule) => all | rule);
}
