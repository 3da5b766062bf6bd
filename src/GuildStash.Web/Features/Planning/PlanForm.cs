using GuildStash.Data.Projects;
using GuildStash.Domain.Colours;
using GuildStash.Planning.Problem;

namespace GuildStash.Web.Features.Planning;

/// <summary>A plan while it is being asked for.</summary>
public sealed class PlanForm
{
    private const int MinutesPerHour = 60;

    /// <summary>A kind of piece with a number.</summary>
    public sealed class Row
    {
        public Guid? WantedPieceId { get; init; }

        public Guid? PieceId { get; init; }

        public required string Name { get; init; }

        /// <summary>How many a project still wants; null for a piece of the book.</summary>
        public int? Missing { get; init; }

        /// <summary>False where nobody has said what yarn it takes.</summary>
        public bool IsPlannable { get; init; } = true;

        public decimal? Number { get; set; }
    }

    public Guid? ProjectId { get; private set; }

    public List<Row> Rows { get; private set; } = [];

    /// <summary>For oneself; else for the project's drive, or for the room where there is none.</summary>
    public bool ForMe { get; set; } = true;

    public ColourFamily? Family { get; set; }

    public decimal? Hours { get; set; }

    public bool Washable { get; set; }

    public string? EmptyBins { get; set; }

    public bool OldestFirst { get; set; }

    public decimal? SafetyPercent { get; set; }

    public decimal? Seconds { get; set; }

    public decimal? Seed { get; set; }

    /// <summary>Fills the rows with what a project wants: all that is missing for its drive, one of each for oneself.</summary>
    public void Show(PlanDesk desk)
    {
        ProjectId = desk.Project?.Id;
        List<Row> book = [.. Rows.Where(row => row.PieceId is not null)];
        Rows = [.. desk.Wanted.Select(wanted => new Row
        {
            WantedPieceId = wanted.WantedPieceId,
            Name = wanted.Name,
            Missing = wanted.Missing,
            IsPlannable = wanted.IsPlannable,
            Number = !wanted.IsPlannable || wanted.Missing == 0 ? null : ForMe ? 1 : Math.Min(wanted.Missing, PlanPiece.MostWanted),
        }), .. book];
    }

    /// <summary>Numbers anew when it is for somebody else.</summary>
    public void SetForMe(bool forMe)
    {
        ForMe = forMe;
        foreach (Row row in Rows.Where(row => row is { Missing: > 0, IsPlannable: true }))
        {
            row.Number = forMe ? 1 : Math.Min(row.Missing!.Value, PlanPiece.MostWanted);
        }
    }

    public void Add(BookPiece piece, decimal number = 1)
    {
        if (Rows.All(row => row.PieceId != piece.Id))
        {
            Rows.Add(new() { PieceId = piece.Id, Name = piece.Name, Number = number });
        }
    }

    public PlanRequest ToRequest() => new(
        ForMe ? PlanPurpose.Member : ProjectId is null ? PlanPurpose.Room : PlanPurpose.Drive,
        new()
        {
            // What a project wants is left to it where nobody changed the number: more may be made by the time the plan is sought.
            Pieces = [.. Rows.Where(row => row is { Number: > 0, IsPlannable: true }).Select(row => new AskedPiece
            {
                WantedPieceId = row.WantedPieceId,
                PieceId = row.PieceId,
                Wanted = !ForMe && row.Missing == row.Number ? null : (int)row.Number!.Value,
                Family = Family,
            })],
            Lots = new() { Washable = Washable },
            Safety = (double?)SafetyPercent / 100,
            Seconds = (double?)Seconds ?? PlanAsk.UsualSeconds,
            Seed = (int?)Seed,
            MinutesLimit = Hours is { } hours ? (int)Math.Ceiling(hours * MinutesPerHour) : null,
            EmptyBins = (EmptyBins ?? "").Split([',', ' ', ';'], StringSplitOptions.RemoveEmptyEntries),
            OldestFirst = OldestFirst,
        },
        ProjectId: ProjectId);
}
