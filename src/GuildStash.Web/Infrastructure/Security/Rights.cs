using System.Reflection;
using System.Text;
using GuildStash.Domain.People;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Infrastructure.Security;

/// <summary>One row of the table of rights.</summary>
/// <param name="Kind">"use", "page", "file" or "api".</param>
/// <param name="Name">A use case and its method, such as "Bins.CreateBin.RunAsync", or an address, with its verb unless it is a page.</param>
/// <param name="Least">The lowest role that may; null: nobody needs to be signed in.</param>
/// <param name="OwnOnly">Only what belongs to the person, unless <see cref="AllFrom"/> says more; false: it belongs to the room.</param>
/// <param name="AllFrom">From this role on everybody's; null: nobody may touch somebody else's.</param>
/// <param name="Meaning">What it is, in English.</param>
public sealed record Right(string Kind, string Name, Role? Least, bool OwnOnly, Role? AllFrom, string Meaning)
{
    /// <summary>Name of the row in lists.</summary>
    public string Key => $"{Kind} {Name}";

    public override string ToString() => Key;
}

/// <summary>
/// The table of who may do what, kept in rights.txt beside this file. Each use case names its role where it acts; the tests hold
/// every use case, page and address against this table, for every role, and the guide prints it.
/// </summary>
public static class Rights
{
    private const string Nobody = "nobody";
    private const string Own = "own";
    private const string Room = "room";

    public static IReadOnlyList<Right> All { get; } = Read();

    /// <summary>The table for people, as Markdown.</summary>
    public static string Markdown()
    {
        StringBuilder text = new();
        (string Kind, string Head)[] parts =
            [("use", "Use cases"), ("page", "Pages, by cookie"), ("file", "Files and links, by cookie"), ("api", "API, by token")];
        foreach ((string kind, string head) in parts)
        {
            text.Append("### ").Append(head).Append("\n\n| what | name | from | whose |\n|---|---|---|---|\n");
            foreach (Right right in All.Where(r => r.Kind == kind))
            {
                text.Append("| ").Append(right.Meaning).Append(" | `").Append(right.Name).Append("` | ")
                    .Append(right.Least?.Key() ?? Nobody).Append(" | ").Append(WhoseOf(right)).Append(" |\n");
            }

            text.Append('\n');
        }

        return text.ToString();
    }

    private static string WhoseOf(Right right) => right switch
    {
        { OwnOnly: false } => "the room's",
        { AllFrom: { } all } => $"own; from {all.Key()} on everybody's",
        _ => "own only",
    };

    private static List<Right> Read()
    {
        using Stream list = Assembly.GetExecutingAssembly().GetManifestResourceStream("GuildStash.Web.rights.txt")!;
        using StreamReader reader = new(list);
        return [.. reader.ReadToEnd().Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)
            .Where(line => line[0] != '#').Select(Row)];
    }

    private static Right Row(string line)
    {
        string[] cells = line.Split('|', StringSplitOptions.TrimEntries);
        string[] name = cells[0].Split(' ', 2);
        string[] whose = cells[2].Split(';', StringSplitOptions.TrimEntries);
        if (cells.Length != 4 || whose[0] is not (Own or Room))
        {
            throw new FormatException($"rights.txt: \"{line}\" is no row.");
        }

        Role? least = cells[1] == Nobody ? null : Enum.Parse<Role>(cells[1], ignoreCase: true);
        Role? all = whose.Length > 1 ? Enum.Parse<Role>(whose[1], ignoreCase: true) : null;
        return new Right(name[0], name[1], least, whose[0] == Own, all, cells[3]);
    }
}
