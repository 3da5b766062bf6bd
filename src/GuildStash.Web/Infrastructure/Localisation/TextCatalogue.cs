using System.Collections.Concurrent;
using System.Collections.Frozen;
using System.Globalization;
using System.Reflection;
using System.Text.Json;

namespace GuildStash.Web.Infrastructure.Localisation;

/// <summary>The embedded translations of one assembly, read once per culture.</summary>
/// <param name="assembly">The assembly whose resources end in <c>Localisation.{culture}.json</c>.</param>
public sealed class TextCatalogue(Assembly assembly)
{
    private static readonly FrozenDictionary<string, string> s_none = FrozenDictionary<string, string>.Empty;
    private readonly ConcurrentDictionary<string, FrozenDictionary<string, string>> _byCulture = new(StringComparer.OrdinalIgnoreCase);

    /// <summary>The translation for the culture or the nearest of its parents; null where none of them has the text.</summary>
    public string? Find(string english, CultureInfo culture)
    {
        for (CultureInfo at = culture; at.Name.Length > 0; at = at.Parent)
        {
            if (_byCulture.GetOrAdd(at.Name, Read).TryGetValue(english, out string? own))
            {
                return own;
            }
        }

        return null;
    }

    /// <summary>Every pair that the culture itself (not its parents) brings.</summary>
    public IReadOnlyDictionary<string, string> Of(CultureInfo culture) => _byCulture.GetOrAdd(culture.Name, Read);

    private FrozenDictionary<string, string> Read(string cultureName)
    {
        string ending = $".Localisation.{cultureName}.json";
        string? resource = assembly.GetManifestResourceNames()
            .FirstOrDefault(name => name.EndsWith(ending, StringComparison.OrdinalIgnoreCase));
        if (resource is null)
        {
            return s_none;
        }

        using Stream stream = assembly.GetManifestResourceStream(resource)!;
        return JsonSerializer.Deserialize<Dictionary<string, string>>(stream)!.ToFrozenDictionary(StringComparer.Ordinal);
    }
}
