using GuildStash.Domain.Projects;

namespace GuildStash.Web.Features.Pieces;

/// <summary>The size table while it is being typed.</summary>
public sealed class SizesForm
{
    /// <summary>One row while it is being typed.</summary>
    public sealed class Row
    {
        public string Kind { get; set; } = PieceSizes.YarnKind;

        public string? Name { get; set; }

        public decimal? Low { get; set; }

        public decimal? High { get; set; }

        public string Unit { get; set; } = "yd";

        public string? Source { get; set; }

        public bool IsBlank => string.IsNullOrWhiteSpace(Name) && Low is null && High is null && string.IsNullOrWhiteSpace(Source);

        /// <summary>A kind has its own units.</summary>
        public void Choose(string kind)
        {
            Kind = kind;
            Unit = PieceSizes.UnitsOf(kind).Contains(Unit) ? Unit : PieceSizes.UnitsOf(kind)[0];
        }
    }

    public List<Row> Rows { get; private init; } = [];

    public static SizesForm Of(PieceSizes sizes) => new()
    {
        Rows = [.. sizes.Rows.Select(row => new Row { Kind = row.Kind, Name = row.Name, Low = (decimal)row.Low, High = (decimal)row.High, Unit = row.Unit, Source = row.Source })],
    };

    /// <summary>Lines as they are saved, one for each row, so that a refusal's line is the row's number. Blank rows are dropped from the form as well.</summary>
    public string ToLines()
    {
        Rows.RemoveAll(row => row.IsBlank);
        return PieceSizes.Write(Rows.Select(row => new PieceSize(row.Kind, row.Name ?? "", (double)(row.Low ?? 0), (double)(row.High ?? row.Low ?? 0), row.Unit, row.Source ?? "")));
    }
}
