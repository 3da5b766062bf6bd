namespace GuildStash.Web.Components.Shared;

/// <summary>How much a status word asks for attention; the word itself always says what is meant.</summary>
public enum StatusTone
{
    Plain = 0,
    Good = 1,
    Caution = 2,
    Soft = 3,
}
