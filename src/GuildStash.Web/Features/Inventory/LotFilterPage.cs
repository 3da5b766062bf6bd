using GuildStash.Domain.Rules;
using GuildStash.Web.Components.Shared;
using Microsoft.AspNetCore.Components;

namespace GuildStash.Web.Features.Inventory;

/// <summary>A page whose lots are chosen by the filters in its address.</summary>
public abstract class LotFilterPage : ComponentBase, IDisposable
{
    private Departure _reading = new();

    [SupplyParameterFromQuery(Name = "class")]
    public string? ClassKey { get; set; }

    [SupplyParameterFromQuery(Name = "colour")]
    public string? ColourKey { get; set; }

    [SupplyParameterFromQuery(Name = "fibre")]
    public string? FibreCode { get; set; }

    [SupplyParameterFromQuery(Name = "washable")]
    public string? Washable { get; set; }

    [SupplyParameterFromQuery(Name = "dyeLot")]
    public string? DyeLot { get; set; }

    [SupplyParameterFromQuery(Name = "bin")]
    public string? BinCode { get; set; }

    [SupplyParameterFromQuery(Name = "status")]
    public string? StatusKey { get; set; }

    [SupplyParameterFromQuery(Name = "age")]
    public string? Age { get; set; }

    [SupplyParameterFromQuery(Name = "metres")]
    public string? Metres { get; set; }

    [SupplyParameterFromQuery(Name = "q")]
    public string? Words { get; set; }

    [SupplyParameterFromQuery(Name = "project")]
    public string? ProjectKey { get; set; }

    protected LotFilterAddress Address { get; private set; } = new();

    protected LotFilter Filter { get; private set; } = new();

    /// <summary>What of the address can't be read.</summary>
    protected IReadOnlyList<Phrase> LeftOut { get; private set; } = [];

    /// <summary>What the reader refused, for the fields that show it.</summary>
    protected IReadOnlyList<Refusal> Refusals { get; set; } = [];

    protected override async Task OnParametersSetAsync()
    {
        Address = new LotFilterAddress
        {
            Class = ClassKey,
            Colour = ColourKey,
            Fibre = FibreCode,
            Washable = Washable,
            DyeLot = DyeLot,
            Bin = BinCode,
            Status = StatusKey,
            Age = Age,
            Metres = Metres,
            Query = Words,
            Project = ProjectKey,
        };
        List<Phrase> leftOut = [];
        Filter = Address.Read(leftOut);
        LeftOut = leftOut;
        await LoadAsync();
    }

    /// <summary>Reads what the page shows; called whenever the address changes.</summary>
    protected abstract Task LoadAsync();

    /// <summary>
    /// Calls off what was being read for the address before, which would otherwise go on with the filters of the new one, and may come
    /// after it.
    /// </summary>
    /// <returns>Cancelled once the address changes again or the page is left.</returns>
    protected CancellationToken ReadAnew()
    {
        _reading.Dispose();
        _reading = new Departure();
        return _reading.Token;
    }

    public void Dispose()
    {
        _reading.Dispose();
        GC.SuppressFinalize(this);
    }
}
