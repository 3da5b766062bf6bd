namespace GuildStash.Web.Components.Shared;

/// <summary>What an input inside a <see cref="Field"/> must carry so that label, hint and error belong to it.</summary>
/// <param name="Name">The field's name in camelCase, as refusals name it.</param>
/// <param name="Id">The input's id, which the label points to.</param>
/// <param name="DescribedBy">Ids of hint and error; null without either.</param>
/// <param name="Invalid">Whether a refusal names this field.</param>
/// <param name="TakesFocus">Whether a page loaded with the refusal puts the cursor here; the first such field of a page gets it.</param>
/// <param name="Mark">Told when the input itself says what is wrong with the text in it, and when no more: what was refused before is then about another value.</param>
public sealed record FieldContext(string Name, string Id, string? DescribedBy, bool Invalid, bool TakesFocus = false, Action<bool>? Mark = null)
{
    /// <summary>To be splatted on the input: id, name, aria-describedby, aria-invalid.</summary>
    public IReadOnlyDictionary<string, object> Attributes
    {
        get
        {
            Dictionary<string, object> attributes = new() { ["id"] = Id, ["name"] = Name };
            if (DescribedBy is not null)
            {
                attributes["aria-describedby"] = DescribedBy;
            }

            if (Invalid)
            {
                attributes["aria-invalid"] = "true";
            }

            if (TakesFocus)
            {
                attributes["autofocus"] = true;
            }

            return attributes;
        }
    }
}
