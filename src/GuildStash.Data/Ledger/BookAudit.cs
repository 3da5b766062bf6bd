using GuildStash.Domain.Codes;
using GuildStash.Domain.Rules;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Data.Ledger;

/// <summary>One thing that was looked at: how many, and what is wrong.</summary>
/// <param name="What">English text and key.</param>
/// <param name="Faults">At most <see cref="BookAudit.MostFaults"/> sentences; empty when all is well.</param>
public sealed record AuditLine(string What, long Examined, IReadOnlyList<Phrase> Faults);

/// <summary>How far an audit has come.</summary>
/// <param name="Done">Steps behind it.</param>
/// <param name="Of">All steps.</param>
/// <param name="Doing">What is looked at now; English text and key. Empty at the end.</param>
public sealed record AuditProgress(int Done, int Of, string Doing);

/// <summary>Computes every balance anew from the movements and compares it with what the tables say.</summary>
public static class BookAudit
{
    public const int MostFaults = 20;

    private const string Codes = "codes: characters and check characters";

    private sealed record Finding(int Rule, string Who, long? A, long? B, long? C);

    public static Task<IReadOnlyList<AuditLine>> RunAsync(GuildDbContext db, CancellationToken cancellation) => RunAsync(db, null, cancellation);

    /// <param name="progress">Told before each step and at the end; null where nobody watches.</param>
    public static async Task<IReadOnlyList<AuditLine>> RunAsync(GuildDbContext db, IProgress<AuditProgress>? progress, CancellationToken cancellation)
    {
        // One snapshot for all questions: people go on working meanwhile.
        await using var transaction = await db.Database.BeginTransactionAsync(System.Data.IsolationLevel.RepeatableRead, cancellation);

        // A million movements are summed in memory rather than in files, and by several workers where there are some; the setting ends with the transaction.
        await db.Database.ExecuteSqlRawAsync("set transaction read only; set local work_mem = '64MB'; set local max_parallel_workers_per_gather = 2; set local statement_timeout = 0", cancellation);
        db.Database.SetCommandTimeout(0);
        int steps = AuditQuestions.All.Count + 1;
        List<AuditLine> lines = [];
        foreach (AuditQuestion question in AuditQuestions.All)
        {
            progress?.Report(new AuditProgress(lines.Count, steps, question.What));
            lines.Add(await AskAsync(db, question, cancellation));
        }

        progress?.Report(new AuditProgress(lines.Count, steps, Codes));
        lines.Add(await CodesAsync(db, cancellation));
        progress?.Report(new AuditProgress(steps, steps, ""));
        return lines;
    }

    private static async Task<AuditLine> AskAsync(GuildDbContext db, AuditQuestion question, CancellationToken cancellation)
    {
        // Both texts are put together from constants, nothing from outside.
        string counting = "select count(*) as \"Value\" from " + question.Counted;
        string finding = question.Faults + " limit " + MostFaults;
        List<long> examined = await db.Database.SqlQueryRaw<long>(counting).ToListAsync(cancellation);
        List<Finding> found = await db.Database.SqlQueryRaw<Finding>(finding).ToListAsync(cancellation);
        return new AuditLine(question.What, examined[0], [.. found.Select(f => new Phrase(question.Sentences[f.Rule], f.Who, f.A ?? 0, f.B ?? 0, f.C ?? 0))]);
    }

    private static async Task<AuditLine> CodesAsync(GuildDbContext db, CancellationToken cancellation)
    {
        long examined = 0;
        List<Phrase> faults = [];
        await foreach (string code in db.Lots.AsNoTracking().Select(l => l.Code).AsAsyncEnumerable().WithCancellation(cancellation))
        {
            examined++;
            if (!LotCode.TryParse(code, out _) && faults.Count < MostFaults)
            {
                faults.Add(new Phrase("Lot code {0} is wrong: a character or the check character does not fit.", code));
            }
        }

        await foreach (string code in db.Bins.AsNoTracking().Select(b => b.Code).AsAsyncEnumerable().WithCancellation(cancellation))
        {
            examined++;
            if (!BinCode.TryParse(code, out _) && faults.Count < MostFaults)
            {
                faults.Add(new Phrase("Bin code {0} is wrong: a character or the check character does not fit.", code));
            }
        }

        return new AuditLine(Codes, examined, faults);
    }
}
