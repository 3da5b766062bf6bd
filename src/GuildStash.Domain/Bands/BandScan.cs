using GuildStash.Domain.Counts;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Bands;

/// <summary>
/// One reading of a text. Readers go over the tokens one after the other, each looking a bounded number of tokens ahead, and
/// claim what they understood; so the time grows with the length of the text.
/// </summary>
internal sealed class BandScan(string text, BandTextOptions options)
{
    private const string Punctuation = ".,;:/-=~≈()[]{}|+·•・×\"'&!?、。<>*_°#%…";

    private static readonly HashSet<string> Fillers = new(StringComparer.Ordinal)
    {
        "ca", "circa", "approx", "about", "etwa", "environ", "env", "aprox", "約", "of", "de", "di", "per", "pro", "par", "por", "je", "auf", "a",
        "and", "und", "et", "y", "e", "x", "to", "bis", "the", "weight", "gewicht", "poids", "peso", "length", "longueur", "lange", "ll", "lauflange",
    };

    private readonly bool[] _claimed = new bool[text.Length];
    private readonly List<BandField> _fields = [];
    private readonly List<BandRefusal> _refusals = [];
    private readonly List<BandConflict> _conflicts = [];

    public BandTextOptions Options { get; } = options;

    public IReadOnlyList<BandToken> Tokens { get; } = BandTokens.Read(text);

    public IReadOnlyList<BandField> Fields => _fields;

    public IReadOnlyList<BandRefusal> Refusals => _refusals;

    public IReadOnlyList<BandConflict> Conflicts => _conflicts;

    /// <summary>Puts another reading of the same pieces in a field's place.</summary>
    public void Replace(BandField field, BandField other) => _fields[_fields.IndexOf(field)] = other;

    public bool IsFree(int at) => at >= 0 && at < Tokens.Count && !_claimed[at];

    /// <summary>Key of a free word; null for anything else.</summary>
    public string? Word(int at) => IsFree(at) && Tokens[at].Kind == BandTokenKind.Word ? Tokens[at].Key : null;

    public NumberText? Number(int at) => IsFree(at) ? Tokens[at].Number : null;

    /// <summary>A free sign that is one of these.</summary>
    public bool IsSign(int at, string signs) => IsFree(at) && Tokens[at].Kind == BandTokenKind.Sign && signs.Contains(Tokens[at].Key, StringComparison.Ordinal);

    /// <summary>As typed.</summary>
    public string Typed(int from, int to) => text[Tokens[from].Start..Tokens[to - 1].End];

    /// <summary>No space between this token and the one before it.</summary>
    public bool Touches(int at) => at > 0 && at < Tokens.Count && Tokens[at - 1].End == Tokens[at].Start;

    /// <summary>A line ends between this token and the one before it.</summary>
    public bool BeginsLine(int at) => at > 0 && text.AsSpan(Tokens[at - 1].End, Tokens[at].Start - Tokens[at - 1].End).ContainsAny('\n', '\r');

    /// <summary>Moves over free signs.</summary>
    public int Skip(int at, string signs)
    {
        while (IsSign(at, signs))
        {
            at++;
        }

        return at;
    }

    /// <summary>Takes the tokens from <paramref name="from"/> up to and without <paramref name="to"/>.</summary>
    public BandPiece Claim(int from, int to)
    {
        if (IsSign(to, ")") && Typed(from, to).Contains('('))
        {
            to++;
        }

        Array.Fill(_claimed, true, from, to - from);
        return new BandPiece(Tokens[from].Start, Typed(from, to));
    }

    public void Add(BandField field) => _fields.Add(field);

    public void Contradict(BandConflict conflict) => _conflicts.Add(conflict);

    public void Refuse(Refusal refusal, IReadOnlyList<BandPiece> pieces) => _refusals.Add(new BandRefusal(refusal, pieces));

    /// <summary>Adds the field, or keeps the refusals with the pieces.</summary>
    public void Add<T>(Outcome<T> outcome, IReadOnlyList<BandPiece> pieces, Func<T, BandField> field)
    {
        if (outcome.IsOk)
        {
            Add(field(outcome.Value));
        }

        foreach (Refusal refusal in outcome.Refusals)
        {
            Refuse(refusal, pieces);
        }
    }

    /// <summary>What nobody claimed, neighbours together; lone punctuation and filling words left out.</summary>
    public IReadOnlyList<BandPiece> Rest()
    {
        List<BandPiece> rest = [];
        for (int at = 0; at < Tokens.Count;)
        {
            int from = at;
            bool says = false;
            while (IsFree(at) && (at == from || !BeginsLine(at)))
            {
                says |= Tokens[at].Kind == BandTokenKind.Sign ? !Punctuation.Contains(Tokens[at].Key, StringComparison.Ordinal) : !Fillers.Contains(Tokens[at].Key);
                at++;
            }

            if (says)
            {
                rest.Add(Trimmed(from, at));
            }

            at = Math.Max(at, from + 1);
        }

        return rest;
    }

    private BandPiece Trimmed(int from, int to)
    {
        while (to - from > 1 && IsSign(from, Punctuation))
        {
            from++;
        }

        while (to - from > 1 && IsSign(to - 1, Punctuation))
        {
            to--;
        }

        return new BandPiece(Tokens[from].Start, Typed(from, to));
    }
}
