namespace GuildStash.Web.Features.Kits;

/// <summary>What a part of a piece would need by the guild's own data, metres of one strand.</summary>
public sealed record OwnProposal(string Part, double Low, double Likely, double Safe);
