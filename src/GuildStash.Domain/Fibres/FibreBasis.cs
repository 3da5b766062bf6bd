namespace GuildStash.Domain.Fibres;

/// <summary>How the fibre content is known. Only <see cref="BandSeen"/> is printed without "believed to be".</summary>
public enum FibreBasis
{
    Unknown = 0,
    VolunteerJudged = 1,
    DonorSaid = 2,
    TestConsistent = 3,
    BandSeen = 4,
}
