using System.Globalization;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Api;

/// <summary>Reads the values of an address and collects what can't be read; an empty value counts as left out.</summary>
internal sealed class ApiQuery
{
    private const int LongestText = 200;
    private readonly List<Refusal> _refusals = [];

    /// <summary>What is wrong so far.</summary>
    public IReadOnlyList<Refusal> Refusals => _refusals;

    public void Add(Refusal? refusal)
    {
        if (refusal is not null)
        {
            _refusals.Add(refusal);
        }
    }

    public string? Text(string? sent, string field)
    {
        if (string.IsNullOrWhiteSpace(sent))
        {
            return null;
        }

        if (sent.Length > LongestText || sent.Any(char.IsControl))
        {
            Add(Refusal.Invalid(field, "\"{0}\" takes text of at most {1} characters without line breaks.", field, LongestText));
            return null;
        }

        return sent.Trim();
    }

    public T? Key<T>(string? sent, string field)
        where T : struct, Enum
    {
        if (string.IsNullOrWhiteSpace(sent))
        {
            return null;
        }

        if (ApiKeys<T>.TryParse(sent, out T value))
        {
            return value;
        }

        Add(ApiProblems.Unreadable(field, "\"{0}\" takes one of {2}; {1} was sent.", field, Shortened(sent), ApiKeys<T>.Known));
        return null;
    }

    public double? Number(string? sent, string field)
    {
        if (string.IsNullOrWhiteSpace(sent))
        {
            return null;
        }

        const NumberStyles Style = NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint | NumberStyles.AllowExponent;
        if (double.TryParse(sent, Style, CultureInfo.InvariantCulture, out double value) && double.IsFinite(value))
        {
            return value;
        }

        Add(ApiProblems.Unreadable(field, "\"{0}\" takes a number such as 12.5, with a point; {1} was sent.", field, Shortened(sent)));
        return null;
    }

    public bool? Flag(string? sent, string field)
    {
        switch (sent?.Trim().ToUpperInvariant())
        {
            case null or "":
                return null;
            case "TRUE" or "YES":
                return true;
            case "FALSE" or "NO":
                return false;
            default:
                Add(ApiProblems.Unreadable(field, "\"{0}\" takes true or false; {1} was sent.", field, Shortened(sent)));
                return null;
        }
    }

    public PageRequest Page(string? page, string? pageSize)
    {
        PageRequest request = new(Whole(page, "page") ?? 1);
        request = Whole(pageSize, "pageSize") is { } size ? request with { PageSize = size } : request;
        Add(request.Wrong());
        return request;
    }

    public int? Whole(string? sent, string field)
    {
        if (string.IsNullOrWhiteSpace(sent))
        {
            return null;
        }

        if (int.TryParse(sent, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out int value))
        {
            return value;
        }

        Add(ApiProblems.Unreadable(field, "\"{0}\" takes a whole number such as 3; {1} was sent.", field, Shortened(sent)));
        return null;
    }

    private static string Shortened(string text) => text.Length <= 40 ? text : text[..40] + "…";
}
