using GuildStash.Domain.Bands;
using GuildStash.Domain.Counts;

namespace GuildStash.Web.Features.Measuring;

/// <summary>A form in which a band's words may ask something.</summary>
public interface IBandAnswers
{
    /// <summary>Answer to <see cref="BandQuestion.PlyCountry"/>.</summary>
    PlyCountry? Country { get; set; }

    /// <summary>Answer to <see cref="BandQuestion.CountSystem"/>.</summary>
    CountSystem? System { get; set; }
}
