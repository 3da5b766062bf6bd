using System.Text.Json.Serialization;
using GuildStash.Web.Features.Drafts;

namespace GuildStash.Web.Features.Sorting;

/// <summary>One fibre while it is typed in.</summary>
public sealed record FibreForm
{
    /// <summary>Code of the fibre table; empty for not known.</summary>
    public string Code { get; set; } = "";

    public decimal? Percent { get; set; }
}

/// <summary>What stands at the bench: the row, and while a lot is corrected the new ball that was put aside for it.</summary>
public sealed record BenchDraft(BallForm Form, BallForm? PutAside) : IDraftForm
{
    [JsonIgnore]
    public Guid RequestId
    {
        get => Form.RequestId;
        set => Form.RequestId = value;
    }
}
