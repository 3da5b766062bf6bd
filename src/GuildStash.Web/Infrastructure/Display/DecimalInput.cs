using System.Globalization;
using System.Text.RegularExpressions;
using GuildStash.Domain.Rules;

namespace GuildStash.Web.Infrastructure.Display;

/// <summary>
/// Reads decimals as people type them at a bench: comma or point, whichever key is nearest. What could be read in two ways is
/// refused with both readings, since a thousandfold error in grams is worse than a question.
/// </summary>
public static partial class DecimalInput
{
    /// <summary>No mass, length or count is written with more characters; any 28 digits fit a decimal.</summary>
    public const int LongestText = 28;

    /// <param name="typed">What stands in the field.</param>
    /// <param name="culture">Decides which of comma and point is the decimal sign where three digits follow it.</param>
    /// <param name="field">The field's name in camelCase, for the refusal.</param>
    /// <returns>The number, of either sign and not yet checked against a range; or why it can't be read.</returns>
    public static Outcome<decimal> Parse(string typed, CultureInfo culture, string field)
    {
        string text = typed.Trim();
        if (text.Length > LongestText)
        {
            return Refusal.Invalid(
                field, "This is {0} characters long; a number has at most {1}. Type digits only, such as {2}.", text.Length, LongestText, 12.5m);
        }

        string plain = Spaces().Replace(text, string.Empty).Replace('−', '-');
        if (!Shape().IsMatch(plain) || (plain.Length != text.Length && !GroupedBySpaces().IsMatch(text)))
        {
            return Refusal.Invalid(field, "“{0}” is not a number. Type digits only, such as {1}.", text, 12.5m);
        }

        return Separate(plain, culture) switch
        {
            (null, string asGroups, string asDecimals) => Refusal.Invalid(
                field, "“{0}” can be read as {1} or as {2}. Leave the thousands sign out, or write another number of decimals.", text, asGroups, asDecimals),
            (null, _, _) => Refusal.Invalid(field, "“{0}” is not a number: its thousands are not in groups of three. Type it without them.", text),
            (string number, _, _) => decimal.Parse(number, NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture),
        };
    }

    private static (string? Number, string? AsGroups, string? AsDecimals) Separate(string plain, CultureInfo culture)
    {
        int last = plain.LastIndexOfAny([',', '.']);
        if (last < 0)
        {
            return (plain, null, null);
        }

        string sign = plain[last].ToString();
        string other = sign == "," ? "." : ",";
        bool repeated = plain.IndexOf(sign, StringComparison.Ordinal) != last;
        if (plain.Contains(other, StringComparison.Ordinal) || repeated)
        {
            string groupSign = repeated ? sign : other;
            string whole = repeated ? plain : plain[..last];
            bool mixed = repeated && plain.Contains(other, StringComparison.Ordinal);
            return mixed || !Groups().IsMatch(whole.Replace(groupSign, ",", StringComparison.Ordinal))
                ? (null, null, null)
                : (plain.Replace(groupSign, string.Empty, StringComparison.Ordinal).Replace(sign, ".", StringComparison.Ordinal), null, null);
        }

        string asDecimals = plain.Replace(sign, ".", StringComparison.Ordinal);
        bool looksGrouped = LooksGrouped().IsMatch(plain);
        return looksGrouped && sign != culture.NumberFormat.NumberDecimalSeparator
            ? (null, plain.Remove(last, 1), plain[..last] + culture.NumberFormat.NumberDecimalSeparator + plain[(last + 1)..])
            : (asDecimals, null, null);
    }

    [GeneratedRegex(@"[\s'’\u00A0\u202F]")]
    private static partial Regex Spaces();

    [GeneratedRegex(@"^[-+]?([0-9]+([.,][0-9]*)*|[.,][0-9]+)$")]
    private static partial Regex Shape();

    [GeneratedRegex(@"^[-+−]?[0-9]{1,3}([\s'’\u00A0\u202F][0-9]{3})+([.,][0-9]*)?$")]
    private static partial Regex GroupedBySpaces();

    [GeneratedRegex(@"^[-+]?[0-9]{1,3}(,[0-9]{3})+$")]
    private static partial Regex Groups();

    [GeneratedRegex(@"^[-+]?[1-9][0-9]{0,2}[.,][0-9]{3}$")]
    private static partial Regex LooksGrouped();
}
