namespace GuildStash.Domain.Fibres;

/// <summary>Density of what a yarn is made of, g/cm³, without the air between its fibres.</summary>
public static class FibreDensity
{
    /// <summary>
    /// Volumes add up, so that 1/ρ = Σ wᵢ/ρᵢ with shares of mass wᵢ (computed). Null where a fibre, its share or its density is not
    /// known; one fibre alone needs no share.
    /// </summary>
    public static double? Of(FibreContent content)
    {
        double volume = 0;
        for (int i = 0; i < content.Fibres.Count; i++)
        {
            double? share = (double?)content.Shares[i].Percent ?? (content.Fibres.Count == 1 ? 100 : null);
            if (share is not { } percent || content.Fibres[i].Density is not { } density)
            {
                return null;
            }

            volume += percent / 100 / density;
        }

        return content.IsUnknown ? null : content.Fibres.Count == 1 ? content.Fibres[0].Density : 1 / volume;
    }

    /// <summary>The fibre that a group's yarns are made of most often (judgement), for a picture of the whole group: wool, cotton, acrylic.</summary>
    public static FibreContent Typical(FibreGroup group) => group switch
    {
        FibreGroup.Animal => Wool,
        FibreGroup.Plant => Cotton,
        FibreGroup.Synthetic => Acrylic,
        _ => FibreContent.Unknown,
    };

    private static readonly FibreContent Wool = Only("WO");
    private static readonly FibreContent Cotton = Only("CO");
    private static readonly FibreContent Acrylic = Only("PAN");

    private static FibreContent Only(string code) => FibreContent.Create([new FibreShare(code, 100)]).Value;
}
