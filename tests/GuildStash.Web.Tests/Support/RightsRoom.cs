using System.Collections;
using System.Globalization;
using System.Reflection;
using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;
using GuildStash.Data;
using GuildStash.Data.People;
using GuildStash.Data.Projects;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Printing;
using GuildStash.TestSupport;
using GuildStash.Web.Features;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Counting;
using GuildStash.Web.Features.Drafts;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Features.People;
using GuildStash.Web.Features.Printing;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Features.SafeKeeping;
using GuildStash.Web.Features.Settings;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Xunit;

namespace GuildStash.Web.Tests.Support;

/// <summary>What a use case answered, whatever its type.</summary>
public sealed record Answer(bool IsOk, IReadOnlyList<Refusal> Refusals, object? Value)
{
    public bool IsNotAllowed => Refusals.Any(r => r.Rule == "not-allowed");

    /// <summary>Refused, or nothing was there to be done.</summary>
    public bool IsNothing => !IsOk || Value is false;

    /// <summary>Everything that the answer tells.</summary>
    public string Text => (Value is ExportedGuild ? "" : JsonSerializer.Serialize(Value, Told)) + string.Join(' ', Refusals);

    private static readonly string[] Calculus = ["Yardage", "WeightClasses", "Quantities", "Fibres", "Counts"];

    /// <summary>All but what is reckoned with: it names nobody, and some of it has itself as a part.</summary>
    private static readonly JsonSerializerOptions Told = new(JsonSerializerDefaults.Web)
    {
        NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals,
        TypeInfoResolver = new DefaultJsonTypeInfoResolver { Modifiers = { LeaveOutCalculus } },
    };

    private static void LeaveOutCalculus(JsonTypeInfo type)
    {
        foreach (JsonPropertyInfo property in type.Properties.Where(p => IsCalculus(p.PropertyType)).ToList())
        {
            type.Properties.Remove(property);
        }
    }

    private static bool IsCalculus(Type type) =>
        Array.Exists(Calculus, part => type.Namespace == "GuildStash.Domain." + part) || type.GetGenericArguments().Any(IsCalculus) || (type.GetElementType() is { } element && IsCalculus(element));
}

/// <summary>
/// A served guild with a person of each role and one whose account is switched off, a gift of a donor, and things that belong to one
/// person; use cases are called by the names of the table of rights, with arguments made up for their types.
/// </summary>
public sealed class RightsRoom(PostgresFixture postgres) : IAsyncLifetime
{
    public const string DonorName = "Dora Donorly";
    public const string DonorContact = "dora.donorly@example.org";
    public const string DraftForm = "rights";
    public const string DraftWords = "words of Vera's draft";

    public WebRoom Web { get; private set; } = null!;

    public GuildRoom Guild => Web.Guild;

    /// <summary>An administrator once, switched off since.</summary>
    public Guid Gone { get; private set; }

    public LoggedGift Gift { get; private set; } = null!;

    public LotView Lot { get; private set; } = null!;

    public BinView Bin { get; private set; } = null!;

    public Guid Project { get; private set; }

    /// <summary>Number of a kit that Otto has at home.</summary>
    public string KitNumber { get; private set; } = "";

    /// <summary>Number of a kit that waits to be packed.</summary>
    public string WaitingKit { get; private set; } = "";

    /// <summary>Keys of what belongs to one person, by the parameter that names it.</summary>
    public IReadOnlyDictionary<string, Guid> Owned { get; private set; } = null!;

    /// <summary>Words that only an answer about the owner's things holds.</summary>
    public IReadOnlyList<string> Marks { get; private set; } = [];

    /// <summary>A browser of each role, of somebody switched off since the sign-in, and of nobody.</summary>
    public IReadOnlyList<(Role? Role, Visitor Visitor)> Visitors { get; private set; } = [];

    /// <summary>A token of each role; null is the one of the account that is switched off.</summary>
    public IReadOnlyList<(Role? Role, string Token)> Tokens { get; private set; } = [];

    /// <summary>The administrator's token that reads only.</summary>
    public string ReadingToken { get; private set; } = "";

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    public async ValueTask InitializeAsync()
    {
        Web = await WebRoom.OpenAsync(postgres, builder => builder.Services.PostConfigure<SecurityStampValidatorOptions>(options => options.ValidationInterval = TimeSpan.Zero));
        Gone = await Guild.AddPersonAsync("Greta Gone", "gone@example.org", Role.Administrator);
        Visitors =
        [
            (null, Web.Visit()), (null, await Web.SignInAsync("gone@example.org")), (Role.Member, await Web.SignInAsync("member@example.org")),
            (Role.Volunteer, await Web.SignInAsync("volunteer@example.org")), (Role.Coordinator, await Web.SignInAsync("coordinator@example.org")),
            (Role.Administrator, await Web.SignInAsync("admin@example.org")),
        ];
        Tokens = [(null, await TokenOfAsync(Gone)), .. await Task.WhenAll(Enum.GetValues<Role>().Select(async role => ((Role?)role, await TokenOfAsync(PersonOf(role)))))];
        ReadingToken = await TokenOfAsync(Guild.Administrator, TokenScope.Read);
        Gift = await Guild.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(Guild.Volunteer, new GiftInput
        {
            DonorName = DonorName,
            DonorContact = DonorContact,
            Bags = [new BagInput(5000, 0, [])],
        }, Cancellation));
        Lot = await Guild.DoAsync<AddLot, LotView>(u => u.RunAsync(Guild.Volunteer, Gift.Bags[0].Id, new LotInput { Grams = 4000, WeightClass = Domain.WeightClasses.WeightClass.Dk }, Cancellation));
        Bin = await Guild.DoAsync<CreateBin, BinView>(u => u.RunAsync(Guild.Volunteer, new BinInput("Crate of the table", Data.Stock.BinKind.Shelf, null, null, null, null), Cancellation));
        Project = await Guild.DoAsync<CreateProject, Guid>(u => u.RunAsync(Guild.Coordinator, new ProjectInput { Name = "Hats", Pieces = [new PieceInput("Hat", 100, "")] }, Cancellation));
        await Guild.PublishAsync(Project, "hats");
        await Guild.WantAsync(null, new Lack("dk", "blue", 400, "Hat", 4, Project, "Hats"));
        await OwnAsync();
        await Guild.DoAsync<DisablePerson, DisabledPerson>(u => u.RunAsync(Guild.Administrator, Gone, Cancellation));
    }

    /// <summary>Otto, a member, has yarn, a token and a filter; Vera, a volunteer, has a draft. Called again, they have new ones.</summary>
    public async Task OwnAsync()
    {
        string filterName = $"Otto's greens {Guid.CreateVersion7():N}";
        Guid otto = Guild.OtherMember;
        await using GuildDbContext db = Guild.Look();

        // Each row has things of its own; a person may keep so many filters only.
        await db.SavedFilters.Where(f => f.PersonId == otto).ExecuteDeleteAsync(Cancellation);
        PlacedRequest request = await Guild.DoAsync<RequestHolds, PlacedRequest>(u => u.RunAsync(otto, new HoldInput([new WantedYarn(Lot.Code, 10, null)], Project, Days: 1), Cancellation));
        HandedOver taken = await Guild.DoAsync<HandOverYarn, HandedOver>(u => u.RunAsync(Guild.Volunteer, new HandOverInput(LotCode: Lot.Code, MemberId: otto, Grams: 20), Cancellation));
        SavedFilterView filter = await Guild.DoAsync<SaveFilter, SavedFilterView>(u => u.RunAsync(otto, filterName, new LotFilterAddress { Class = "dk" }, Cancellation));
        await Guild.DoAsync<SaveDraft, DateTimeOffset>(u => u.RunAsync(Guild.Volunteer, DraftForm, 1, $$"""{"text":"{{DraftWords}}"}""", Cancellation));
        Guid submitted = Guid.CreateVersion7();
        MadeKit kit = await KitAsync(db, otto);
        Guid hat = await db.WantedPieces.Where(w => w.ProjectId == Project).Select(w => w.Id).SingleAsync(Cancellation);
        RecordedPieces made = await Guild.DoAsync<RecordPieces, RecordedPieces>(u => u.RunAsync(otto, new PiecesInput(hat, Domain.Projects.PieceStep.Finished, 1), Cancellation));
        ApiToken token = new() { PersonId = otto, Name = "Otto's scale", SecretHash = submitted.ToByteArray(), CreatedAt = DateTimeOffset.UtcNow.AddDays(-1), ExpiresAt = DateTimeOffset.UtcNow.AddDays(1) };
        db.ApiTokens.Add(token);
        Plan plan = PlanOf(otto);
        db.Plans.Add(plan);
        await db.SaveChangesAsync(Cancellation);
        await db.Database.ExecuteSqlAsync(
            $"insert into idempotent_response (person_id, route, key, body_hash, response, created_at) values ({Guild.Volunteer}, 'page:x', {submitted.ToString("N")}, '\\x00', 'true', now())", Cancellation);
        Owned = new Dictionary<string, Guid>
        {
            ["holdId"] = request.Holds[0].Id,
            ["requestId"] = request.Id,
            ["checkoutId"] = taken.Id,
            ["tokenId"] = token.Id,
            ["kitId"] = kit.Id,
            ["recordId"] = made.Id,
            ["id"] = filter.Id,
            ["planId"] = plan.Id,
            ["WasSubmittedAsync"] = submitted,
        };
        Marks = ["Otto Other", "other@example.org", request.Number, "Otto's scale", "Otto\\u0027s scale", "Otto's greens", "Otto\\u0027s greens", DraftWords, "Vera\\u0027s draft"];
    }

    /// <summary>One that was accepted, so that accepting it again is answered and books nothing.</summary>
    private static Plan PlanOf(Guid person) => new()
    {
        Number = $"P-{Guid.CreateVersion7():N}"[..20],
        Name = "Otto's cap",
        Purpose = PlanPurpose.Member,
        State = PlanState.Done,
        Ask = """{"pieces":[{"name":"Cap","wanted":1,"parts":[{"name":"Body","metresLow":50,"metresLikely":50,"metresSafe":50,"weightClasses":["dk"]}]}],"seconds":1}""",
        Answer = """{"status":"none","safety":0.95,"count":0,"wanted":1}""",
        CreatedById = person,
        CreatedAt = DateTimeOffset.UtcNow,
        AcceptedAt = DateTimeOffset.UtcNow,
        AcceptedById = person,
    };

    /// <summary>Codes of two new lots that could be one.</summary>
    public async Task<(string First, string Second)> AlikeAsync()
    {
        async Task<string> NewAsync() => (await Guild.DoAsync<AddLot, LotView>(u => u.RunAsync(Guild.Volunteer, Gift.Bags[0].Id, new LotInput { Grams = 5, WeightClass = Domain.WeightClasses.WeightClass.Dk }, Cancellation))).Code;
        return (await NewAsync(), await NewAsync());
    }

    /// <summary>A gift of one bag that nobody has touched.</summary>
    public async Task<Guid> FreshGiftAsync() =>
        (await Guild.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(Guild.Volunteer, new GiftInput { Bags = [new BagInput(100, 0, [])] }, Cancellation))).Id;

    /// <summary>Otto has a kit at home; its pieces are started.</summary>
    private async Task<MadeKit> KitAsync(GuildDbContext db, Guid otto)
    {
        Guid hat = await db.WantedPieces.Where(w => w.ProjectId == Project).Select(w => w.Id).SingleAsync(Cancellation);
        MadeKit kit = await Guild.DoAsync<MakeKit, MadeKit>(u => u.RunAsync(Guild.Volunteer, new KitInput(hat, null, 1, [new KitYarn(Lot.Code, null, 5, null)], otto), Cancellation));
        Guid line = await db.KitLines.Where(l => l.KitId == kit.Id).Select(l => l.Id).SingleAsync(Cancellation);
        await Guild.DoAsync<HandOverKit, int>(u => u.RunAsync(Guild.Volunteer, kit.Id, new KitHandOverInput(null, new Dictionary<Guid, decimal?> { [line] = 5 }), null, Cancellation));
        KitNumber = kit.Number;
        WaitingKit = (await Guild.DoAsync<MakeKit, MadeKit>(u => u.RunAsync(Guild.Volunteer, new KitInput(hat, null, 1, [new KitYarn(Lot.Code, null, 5, null)]), Cancellation))).Number;
        return kit;
    }

    public Guid PersonOf(Role role) => role switch
    {
        Role.Member => Guild.Member,
        Role.Volunteer => Guild.Volunteer,
        Role.Coordinator => Guild.Coordinator,
        _ => Guild.Administrator,
    };

    private async Task<string> TokenOfAsync(Guid person, TokenScope scope = TokenScope.Write) =>
        (await Guild.DoAsync<IssueToken, IssuedToken>(u => u.RunAsync(person, "rights", 30, scope, Cancellation))).Token;

    /// <summary>The methods that a row of the table names: all public ones of that name whose first argument is the person.</summary>
    public static IReadOnlyList<MethodInfo> MethodsOf(Right right) => UseCaseMethods.All.TryGetValue(right.Name, out List<MethodInfo>? found) ? found : [];

    /// <summary>Calls a use case.</summary>
    /// <param name="real">Whether keys and codes are those of things that there are; else nobody has such a thing.</param>
    public Task<Answer> CallAsync(MethodInfo method, Guid by, bool real) =>
        Guild.UseAsync<IServiceProvider, Answer>(async services =>
        {
            object?[] arguments = [.. method.GetParameters().Select((p, i) => i == 0 ? by : new ArgumentMaker(this, method.Name, real).Make(p.ParameterType, p.Name!))];
            Task task = (Task)method.Invoke(services.GetRequiredService(method.DeclaringType!), BindingFlags.DoNotWrapExceptions, null, arguments, CultureInfo.InvariantCulture)!;
            await task;
            dynamic outcome = ((dynamic)task).Result;
            IReadOnlyList<Refusal> refusals = outcome.Refusals;
            object? value = refusals.Count == 0 ? (object?)outcome.Value : null;
            (value as ExportedGuild)?.Content.Dispose();
            return new Answer(refusals.Count == 0, refusals, value);
        });

    /// <summary>An address of the table with the room's own things in place of its braces.</summary>
    public string AddressOf(Right right)
    {
        string route = right.Name[right.Name.IndexOf('/', StringComparison.Ordinal)..];
        string id = route.Contains("/projects/", StringComparison.Ordinal) ? Project.ToString()
            : route.Contains("/plans/", StringComparison.Ordinal) ? Owned["planId"].ToString()
            : route.Contains("/checkouts/", StringComparison.Ordinal) ? Owned["checkoutId"].ToString()
            : route.Contains("/donations/", StringComparison.Ordinal) ? Gift.Id.ToString() : Owned["requestId"].ToString();
        string code = route.Contains("bin", StringComparison.Ordinal) || route.StartsWith("/b/", StringComparison.Ordinal) ? Bin.Code : Lot.Code;
        string address = route
            .Replace("{Id:guid}", id, StringComparison.Ordinal).Replace("{id:guid}", id, StringComparison.Ordinal)
            .Replace("{requestId:guid}", id, StringComparison.Ordinal)
            .Replace("{donationId:guid}", Gift.Id.ToString(), StringComparison.OrdinalIgnoreCase).Replace("{bagId:guid}", Gift.Bags[0].Id.ToString(), StringComparison.Ordinal)
            .Replace("{Code}", code, StringComparison.Ordinal).Replace("{code}", code, StringComparison.Ordinal)
            .Replace("{number}", route.StartsWith("/k/", StringComparison.Ordinal) ? KitNumber : Gift.Number, StringComparison.Ordinal).Replace("{Number}", KitNumber, StringComparison.Ordinal)
            .Replace("{PieceId:guid}", id, StringComparison.Ordinal).Replace("{bag:int?}", "1", StringComparison.Ordinal)
            .Replace("{Code:int}", "400", StringComparison.Ordinal).Replace("{Secret}", "none", StringComparison.Ordinal)
            .Replace("{documentName}", "v1", StringComparison.Ordinal)
            .Replace("{PublicName}", "hats", StringComparison.Ordinal)
            .Replace("{Name}", "member", StringComparison.Ordinal).Replace("{name}", "home-light", StringComparison.Ordinal);
        return route.StartsWith("/print/kit-", StringComparison.Ordinal) ? $"{address}?kits={WaitingKit}"
            : address.EndsWith("-labels.pdf", StringComparison.Ordinal) ? $"{address}?codes={code}"
            : address.EndsWith("weight-classes.csv", StringComparison.Ordinal) ? address + "?standard=true" : address;
    }

    public async ValueTask DisposeAsync()
    {
        foreach ((_, Visitor visitor) in Visitors)
        {
            visitor.Dispose();
        }

        await Web.DisposeAsync();
    }
}

/// <summary>What can be done in the name of a person.</summary>
public static class UseCaseMethods
{
    private const string Features = "GuildStash.Web.Features.";

    /// <summary>Public methods of the application's services that take the person first, by the table's names.</summary>
    public static IReadOnlyDictionary<string, List<MethodInfo>> All { get; } = typeof(UseCases).Assembly.GetTypes()
        .Where(t => t is { IsClass: true, IsAbstract: false, IsPublic: true } && t.Namespace?.StartsWith(Features, StringComparison.Ordinal) == true)
        .SelectMany(t => t.GetMethods(BindingFlags.Public | BindingFlags.Instance | BindingFlags.DeclaredOnly))
        .Where(m => m.GetParameters() is [{ Name: "by" } first, ..] && first.ParameterType == typeof(Guid))
        .GroupBy(m => $"{m.DeclaringType!.Namespace![Features.Length..]}.{m.DeclaringType.Name}.{m.Name}")
        .ToDictionary(g => g.Key, g => g.ToList());
}

/// <summary>Makes plausible arguments: a type's own small builder, else the first constructor with arguments made the same way.</summary>
internal sealed class ArgumentMaker(RightsRoom room, string method, bool real)
{
    public object? Make(Type type, string name)
    {
        if (Nullable.GetUnderlyingType(type) is { } inner)
        {
            return inner == typeof(Guid) || inner == typeof(double) ? null : Make(inner, name);
        }

        return type switch
        {
            _ when type == typeof(CancellationToken) => GuildRoom.Cancellation,
            _ when type == typeof(Guid) => Key(name),
            _ when type == typeof(string) => Text(name),
            _ when type == typeof(int) => name is "version" && !real ? 0 : 1,
            _ when type == typeof(decimal) => 5m,
            _ when type == typeof(double) => 5d,
            _ when type == typeof(bool) => false,
            _ when type == typeof(byte) => (byte)90,
            _ when type == typeof(DateOnly) => DateOnly.FromDateTime(DateTime.UtcNow).AddDays(3),
            _ when type == typeof(DateTimeOffset) => DateTimeOffset.UtcNow,
            _ when type.IsEnum => Enum.GetValues(type).GetValue(0),
            _ when type == typeof(PageRequest) => new PageRequest(1),
            _ when type == typeof(PrintTexts) => new PrintTexts((key, arguments) => string.Format(CultureInfo.InvariantCulture, key, arguments), CultureInfo.InvariantCulture, PaperLengthUnit.Metres),
            _ when type == typeof(LabelJob) => LabelJob.Create(null, null, null, null).Value,
            _ when type == typeof(LotFilterAddress) => new LotFilterAddress { Class = "dk" },
            _ when type == typeof(Func<PastCount, ValueTask>) => (PastCount _) => ValueTask.CompletedTask,
            _ when type == typeof(Func<LotChange, ValueTask>) => (LotChange _) => ValueTask.CompletedTask,
            _ when type == typeof(Func<LotView, ValueTask>) => (LotView _) => ValueTask.CompletedTask,
            _ when type.IsGenericType && type.GetGenericTypeDefinition() == typeof(IReadOnlyDictionary<,>) => Activator.CreateInstance(typeof(Dictionary<,>).MakeGenericType(type.GetGenericArguments())),
            _ when type.IsInterface => type.IsGenericType && type.GetGenericTypeDefinition() == typeof(IReadOnlyList<>) ? List(type.GetGenericArguments()[0], name) : null,
            _ when type.IsSubclassOf(typeof(Delegate)) => throw new NotSupportedException($"Say what {name} of {method}, {type}, does."),
            _ => Record(type),
        };
    }

    private Guid Key(string name) => !real
        ? Guid.CreateVersion7()
        : name switch
        {
            "bagId" => room.Gift.Bags[0].Id,
            "donationId" => room.Gift.Id,
            "lotId" => room.Lot.Id,
            "projectId" => room.Project,
            "personId" => room.Guild.OtherMember,
            _ when room.Owned.TryGetValue(method, out Guid submitted) => submitted,
            _ => room.Owned.TryGetValue(name, out Guid owned) ? owned : Guid.CreateVersion7(),
        };

    private string Text(string name) => name.ToUpperInvariant() switch
    {
        "BINCODE" => real ? room.Bin.Code : "none",
        "CODE" or "LOTCODE" or "CODES" or "LOTCODES" => real ? room.Lot.Code : "none",
        "NUMBER" => real ? room.KitNumber : "none",
        "TYPED" => real ? room.Gift.Number : "none",
        "STATE" => "{}",
        "FORM" => real ? RightsRoom.DraftForm : "none",
        _ => "o",
    };

    private Array List(Type element, string name)
    {
        Array list = Array.CreateInstance(element, 1);
        list.SetValue(Make(element, name), 0);
        return list;
    }

    private object Record(Type type)
    {
        ConstructorInfo constructor = type.GetConstructors().OrderBy(c => c.GetParameters().Length).First();
        return constructor.Invoke([.. constructor.GetParameters().Select(p => p.HasDefaultValue ? p.DefaultValue : Make(p.ParameterType, p.Name!))]);
    }
}
