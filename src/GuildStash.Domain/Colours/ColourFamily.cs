namespace GuildStash.Domain.Colours;

/// <summary>Colour families in shelf order: the hue circle cut between red-purple and pink, then brown and beige, then the neutrals.</summary>
public enum ColourFamily
{
    Pink = 0,
    Red = 1,
    Orange = 2,
    Yellow = 3,
    Green = 4,
    Teal = 5,
    Blue = 6,
    Purple = 7,
    Brown = 8,
    Beige = 9,
    White = 10,
    Grey = 11,
    Black = 12,
    Multicolour = 13,
}
