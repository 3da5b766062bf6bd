using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Bands;

/// <summary>Something on the band that can't be true.</summary>
/// <param name="Refusal">Which value, and what is allowed.</param>
/// <param name="Pieces">Where it stands.</param>
public sealed record BandRefusal(Refusal Refusal, IReadOnlyList<BandPiece> Pieces);

/// <summary>Two statements that can't both be true. Both are kept as fields.</summary>
/// <param name="Pieces">Where they stand.</param>
public sealed record BandConflict(Phrase Sentence, IReadOnlyList<BandPiece> Pieces);

/// <summary>
/// What a person typed from a band, read: the fields found with the pieces of text they came from, and the pieces that nothing
/// was made of. Decimal comma and point, full-width digits, and bands in English, German, French, Spanish and Japanese are
/// understood. What is ambiguous becomes a question, what is unknown is kept; nothing is guessed.
/// </summary>
public sealed record BandText
{
    /// <summary>More than any band says.</summary>
    public const int MaxLength = 500;

    private BandText(string text, BandScan scan)
    {
        Text = text;
        Fields = [.. scan.Fields.OrderBy(field => field.Pieces[0].Start)];
        Refusals = scan.Refusals;
        Conflicts = [.. scan.Conflicts, .. BandConflicts.Among(Fields)];
        NotUnderstood = scan.Rest();
        Questions = [.. Fields.Select(QuestionOf).OfType<BandQuestion>().Distinct()];
    }

    /// <summary>As typed.</summary>
    public string Text { get; }

    /// <summary>In the order of the text.</summary>
    public IReadOnlyList<BandField> Fields { get; }

    /// <summary>Answers are given in <see cref="BandTextOptions"/>.</summary>
    public IReadOnlyList<BandQuestion> Questions { get; }

    public IReadOnlyList<BandConflict> Conflicts { get; }

    /// <summary>Values out of range; they are no fields.</summary>
    public IReadOnlyList<BandRefusal> Refusals { get; }

    /// <summary>Words and numbers that nothing was made of, in the order of the text; lone punctuation is left out.</summary>
    public IReadOnlyList<BandPiece> NotUnderstood { get; }

    /// <summary>The first metres and grams; null when the band states none, or contradicts them.</summary>
    public Band? Band => Of<BandLengthField>().FirstOrDefault() is { } stated && !Conflicts.Any(conflict => conflict.Pieces.Contains(stated.Pieces[0]))
        ? stated.Band
        : null;

    /// <summary>All fields of one kind, in the order of the text.</summary>
    public IEnumerable<T> Of<T>()
        where T : BandField => Fields.OfType<T>();

    /// <param name="text">What the band says, at most 500 characters; empty and null say nothing.</param>
    /// <param name="options">Answers to earlier questions; null for none.</param>
    /// <returns>What was read, or a refusal with field "bandText" when the text is too long. Never throws.</returns>
    public static Outcome<BandText> Parse(string? text, BandTextOptions? options = null)
    {
        text ??= "";
        if (text.Length > MaxLength)
        {
            return Refusal.Invalid("bandText", "{0:N0} characters: at most {1} are read. Type only what the band says about the yarn.", text.Length, MaxLength);
        }

        BandScan scan = new(text, options ?? BandTextOptions.Default);
        // What has the surest mark goes first, so that its numbers are not taken for something else.
        DyeLotReader.Read(scan);
        GaugeReader.Read(scan);
        ThicknessReader.ReadPly(scan);
        CountReader.ReadNamed(scan);
        NeedleReader.Read(scan);
        ThicknessReader.ReadNumbers(scan);
        QuantityReader.Read(scan);
        ThicknessReader.ReadJapanese(scan);
        CareReader.Read(scan);
        FibreReader.Read(scan);
        ThicknessReader.ReadNames(scan);
        CountReader.ReadUnnamed(scan);
        CountReader.SettleSilk(scan);
        return new BandText(text, scan);
    }

    private static BandQuestion? QuestionOf(BandField field) => field switch
    {
        ThicknessField { Thickness.Question: { } question } => question,
        CountField { Question: { } question } => question,
        _ => null,
    };
}
