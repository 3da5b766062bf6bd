using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Infrastructure.Localisation;

/// <summary>One catalogue for every marker class: a text means the same wherever it stands.</summary>
public sealed class TextLocaliserFactory : IStringLocalizerFactory
{
    private readonly TextLocaliser _localiser = new(new TextCatalogue(typeof(Texts).Assembly));

    public IStringLocalizer Create(Type resourceSource) => _localiser;

    public IStringLocalizer Create(string baseName, string location) => _localiser;
}
