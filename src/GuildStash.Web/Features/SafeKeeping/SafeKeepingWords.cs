using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.SafeKeeping;

/// <summary>Sizes of files and ages in words.</summary>
internal static class SafeKeepingWords
{
    private const double Step = 1000;

    /// <summary>Bytes in decimal units, as disks are sold: "340 kB", "12.4 MB".</summary>
    public static string Size(IStringLocalizer<Texts> texts, PersonDisplay display, long bytes)
    {
        double kilo = bytes / Step;
        string Figure(double value) => value.ToString("#,0.#", display.Culture);
        return kilo < Step ? texts["{0} kB", Figure(Math.Ceiling(kilo))]
            : kilo < Step * Step ? texts["{0} MB", Figure(kilo / Step)]
            : texts["{0} GB", Figure(kilo / Step / Step)];
    }

    public static string Age(IStringLocalizer<Texts> texts, PersonDisplay display, TimeSpan age) => age switch
    {
        { TotalHours: < 1 } => texts["less than an hour ago"],
        { TotalHours: < 2 } => texts["an hour ago"],
        { TotalDays: < 2 } => texts["{0} hours ago", display.Count((long)age.TotalHours)],
        _ => texts["{0} days ago", display.Count((long)age.TotalDays)],
    };
}
