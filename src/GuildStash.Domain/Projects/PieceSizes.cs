using System.Globalization;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Projects;

/// <summary>A row of the size table.</summary>
/// <param name="Kind">head, hat ease, yarn or blanket.</param>
/// <param name="Low">The smaller figure; for a blanket its shorter side.</param>
/// <param name="High">The larger figure; for a blanket its longer side.</param>
/// <param name="Unit">cm, in, m or yd.</param>
/// <param name="Source">Where the figures come from.</param>
public sealed record PieceSize(string Kind, string Name, double Low, double High, string Unit, string Source)
{
    /// <summary>In centimetres; null for a length of yarn.</summary>
    public (double Low, double High)? InCentimetres() => Unit switch
    {
        "cm" => (Low, High),
        "in" => (Low * 2.54, High * 2.54),
        _ => null,
    };

    /// <summary>In metres; null for a size.</summary>
    public (double Low, double High)? InMetres() => Unit switch
    {
        "m" => (Low, High),
        "yd" => (Low * Length.MetresPerYard, High * Length.MetresPerYard),
        _ => null,
    };
}

/// <summary>Sizes of heads and blankets and usual lengths of yarn, as a table that a guild may edit.</summary>
public sealed class PieceSizes
{
    public const int MostRows = 1_000;
    public const string HeadKind = "head";
    public const string EaseKind = "hat ease";
    public const string YarnKind = "yarn";
    public const string BlanketKind = "blanket";
    private const string Field = "sizes";
    private const int Columns = 6;
    private const int MostFigure = 100_000;

    private static readonly string[] SizeUnits = ["cm", "in"];
    private static readonly string[] LengthUnits = ["m", "yd"];

    private PieceSizes(IReadOnlyList<PieceSize> rows) => Rows = rows;

    /// <summary>What a row may be about.</summary>
    public static IReadOnlyList<string> Kinds { get; } = [HeadKind, EaseKind, YarnKind, BlanketKind];

    /// <summary>The table that comes with the program; each row names its source.</summary>
    public static PieceSizes Default { get; } = Load();

    public IReadOnlyList<PieceSize> Rows { get; }

    /// <summary>Units in which a row of the kind may be given.</summary>
    public static IReadOnlyList<string> UnitsOf(string kind) => kind == YarnKind ? LengthUnits : SizeUnits;

    public IEnumerable<PieceSize> Of(string kind) => Rows.Where(row => row.Kind == kind);

    /// <summary>Reads lines of kind, name, low, high, unit, source with commas between and a point in numbers; text in quotes may hold commas; # begins a remark.</summary>
    /// <returns>The table, or a refusal for each line that can't be read, with field "sizes".</returns>
    public static Outcome<PieceSizes> Parse(string text)
    {
        List<PieceSize> rows = [];
        List<Refusal> refusals = [];
        string[] lines = text.Split('\n');
        for (int i = 0; i < lines.Length && refusals.Count < 20; i++)
        {
            string line = lines[i].Trim();
            if (line.Length == 0 || line[0] == '#')
            {
                continue;
            }

            Outcome<PieceSize> row = Row(line, i + 1);
            if (!row.IsOk)
            {
                refusals.Add(row.Refusal);
            }
            else if (rows.Any(each => (each.Kind, each.Name) == (row.Value.Kind, row.Value.Name)))
            {
                refusals.Add(Refusal.Invalid(Field, "\"{0}\" stands in the table twice as {1}. Give one of them another name, or take it out.", row.Value.Name, row.Value.Kind));
            }
            else
            {
                rows.Add(row.Value);
            }
        }

        if (refusals.Count == 0 && rows.Count is 0 or > MostRows)
        {
            refusals.Add(Refusal.Invalid(Field, "A size table has 1 to {0:N0} rows; this one has {1:N0}.", MostRows, rows.Count));
        }

        return refusals.Count > 0 ? Outcome<PieceSizes>.Refused(refusals) : new PieceSizes(rows);
    }

    /// <summary>The lines that <see cref="Parse"/> reads as these rows.</summary>
    public static string Write(IEnumerable<PieceSize> rows) => string.Join('\n', rows.Select(row =>
        string.Create(CultureInfo.InvariantCulture, $"{row.Kind},{Quoted(row.Name)},{row.Low},{row.High},{row.Unit},{Quoted(row.Source)}")));

    /// <summary>In quotes where a comma would end the cell; quotes and line breaks of its own have no place in a line.</summary>
    private static string Quoted(string text)
    {
        string plain = text.Replace('"', '\'').Replace('\r', ' ').Replace('\n', ' ').Trim();
        return plain.Contains(',', StringComparison.Ordinal) ? $"\"{plain}\"" : plain;
    }

    private static Outcome<PieceSize> Row(string line, int number)
    {
        string[] cells = [.. Cells(line)];
        if (cells.Length != Columns)
        {
            return Refusal.Invalid(Field, "Line {0} has {1} columns; kind, name, low, high, unit and source are needed.", number, cells.Length);
        }

        string name = cells[1];
        if (name.Length == 0)
        {
            return Refusal.Invalid(Field, "Line {0} has no name. Say what its figures are of, for instance \"child\".", number);
        }

        bool isNumber = double.TryParse(cells[2], NumberStyles.Float, CultureInfo.InvariantCulture, out double low) & double.TryParse(cells[3], NumberStyles.Float, CultureInfo.InvariantCulture, out double high);
        if (!isNumber || !(low > 0 && low <= high && high <= MostFigure))
        {
            return Refusal.Invalid(Field, "\"{0}\": \"{1}\" to \"{2}\" is no range. Both are more than 0 and at most {3:N0}, and the first is not above the second.", name, cells[2], cells[3], MostFigure);
        }

        if (!Kinds.Contains(cells[0]))
        {
            return Refusal.Invalid(Field, "\"{0}\" is about \"{1}\"; it can be about one of these: {2}.", name, cells[0], string.Join(", ", Kinds));
        }

        if (cells[5].Length == 0)
        {
            return Refusal.Invalid(Field, "\"{0}\" has no source. Say where its figures come from; \"own\" will do.", name);
        }

        if (!UnitsOf(cells[0]).Contains(cells[4]))
        {
            return Refusal.Invalid(Field, "\"{0}\": a row of kind {1} is in {2}, not in \"{3}\".", name, cells[0], string.Join(" / ", UnitsOf(cells[0])), cells[4]);
        }

        return new PieceSize(cells[0], name, low, high, cells[4], cells[5]);
    }

    private static IEnumerable<string> Cells(string line)
    {
        bool quoted = false;
        int from = 0;
        for (int i = 0; i <= line.Length; i++)
        {
            if (i == line.Length || (line[i] == ',' && !quoted))
            {
                yield return line[from..i].Trim().Trim('"');
                from = i + 1;
            }
            else if (line[i] == '"')
            {
                quoted = !quoted;
            }
        }
    }

    private static PieceSizes Load()
    {
        using Stream stream = typeof(PieceSizes).Assembly.GetManifestResourceStream("GuildStash.Domain.Projects.piece-sizes.csv")
            ?? throw new InvalidOperationException("The size table is missing from the program.");
        using StreamReader reader = new(stream);
        return Parse(reader.ReadToEnd()).Value;
    }
}
