using GuildStash.Web.Components.Shared;
using Microsoft.AspNetCore.Components;

namespace GuildStash.Web.Features.Settings;

/// <summary>Tells the form around it that rows of a table show their refusals themselves.</summary>
public sealed class RowsShownInPlace : ComponentBase, IDisposable
{
    [Parameter, EditorRequired]
    public IReadOnlyList<string> Fields { get; set; } = [];

    [CascadingParameter]
    private FormState? Form { get; set; }

    public void Dispose()
    {
        foreach (string field in Fields)
        {
            Form?.Release(field);
        }
    }

    protected override void OnInitialized()
    {
        foreach (string field in Fields)
        {
            Form?.Claim(field);
        }
    }
}
