using System.Text.Json;
using GuildStash.Data;
using GuildStash.Data.Api;
using GuildStash.Data.Guild;
using GuildStash.Data.Stock;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Storage;
using Npgsql;

namespace GuildStash.Web.Infrastructure.Work;

/// <summary>
/// Runs a use case: asks the database who the person is and what they may do now, opens one context, for a write one transaction, and
/// commits only when nothing was refused. Whoever lost the race for a row is tried again; whoever broke a constraint gets a sentence.
/// A database that is away for a moment is asked again; where the connection broke while committing, the database is asked whether it
/// was done, so that nothing is saved twice and nobody is told wrongly.
/// </summary>
public sealed partial class GuildWork(
    IDbContextFactory<GuildDbContext> contexts, IdempotencySlot idempotency, GuildYardage yardage, ILogger<GuildWork>? log = null)
{
    private const int Tries = 6;

    private static readonly JsonSerializerOptions Kept = new(JsonSerializerDefaults.General);

    /// <summary>
    /// How far the moment of the acts lies before the database's clock: nothing, except while the demo guild is given a past.
    /// The container never sets it, so no page and no request can; holds still run out by the database's clock alone.
    /// </summary>
    internal TimeSpan Earlier { get; init; }

    /// <summary>
    /// Raised after something was committed through this object. It is scoped, so whoever shows a person what waits learns here, on
    /// whatever thread committed, that the same person's page has changed it.
    /// </summary>
    public event Action? Committed;

    /// <param name="Stamp">Of the guild's way of estimating, so that a changed one is noticed.</param>
    private sealed record ActorRow(Guid Id, string DisplayName, string Role, DateTimeOffset? DisabledAt, DateTimeOffset Now, long? Stamp);

    /// <summary>Answers a question that only people of at least the given role may ask.</summary>
    public async Task<Outcome<T>> ReadAsync<T>(Guid by, Role least, Func<Act, Task<Outcome<T>>> question, CancellationToken cancellation)
    {
        for (int attempt = 1; ; attempt++)
        {
            try
            {
                await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
                db.ChangeTracker.QueryTrackingBehavior = QueryTrackingBehavior.NoTracking;
                Outcome<Act> act = await BeginAsync(db, by, least, null, cancellation);
                return act.IsOk ? await question(act.Value) : Outcome<T>.Refused(act.Refusals);
            }
            catch (Exception exception) when (DatabaseTrouble.Of(exception) is { } trouble)
            {
                if (!DatabaseTrouble.IsSilent(exception) || !await DatabaseTrouble.PauseAsync(attempt, cancellation))
                {
                    return trouble;
                }
            }
        }
    }

    /// <summary>Does something in one transaction; a refusal leaves nothing behind.</summary>
    public async Task<Outcome<T>> WriteAsync<T>(Guid by, Role least, Func<Act, Task<Outcome<T>>> deed, CancellationToken cancellation)
    {
        (string Route, string Key, byte[] BodyHash)? once = idempotency.TakeOut();
        int silences = 0;
        for (int attempt = 1; ; attempt++)
        {
            try
            {
                return await TryWriteAsync(by, least, deed, once, cancellation);
            }
            catch (Exception exception) when (attempt < Tries && LostRace(exception))
            {
                await Task.Delay(Random.Shared.Next(5, 20 << attempt), cancellation);
            }
            catch (DbUpdateConcurrencyException)
            {
                return Refusal.Conflict("changed-meanwhile", "Somebody else changed this meanwhile. Reload to see the present state, then enter your change again.");
            }
            catch (Exception exception) when (BrokenConstraint(exception) is { } refusal)
            {
                return refusal;
            }
            catch (Exception exception) when (DatabaseTrouble.Of(exception) is { } trouble)
            {
                if (!DatabaseTrouble.IsSilent(exception) || !await DatabaseTrouble.PauseAsync(++silences, cancellation))
                {
                    return trouble;
                }
            }
        }
    }

    private async Task<Outcome<T>> TryWriteAsync<T>(
        Guid by, Role least, Func<Act, Task<Outcome<T>>> deed, (string Route, string Key, byte[] BodyHash)? once, CancellationToken cancellation)
    {
        await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);

        // Whatever fails ends the whole transaction here, so a savepoint around each save would be two trips for nothing.
        db.Database.AutoSavepointsEnabled = false;
        await using IDbContextTransaction transaction = await db.Database.BeginTransactionAsync(cancellation);
        Guid mark = Guid.CreateVersion7();
        Outcome<Act> act = await BeginAsync(db, by, least, mark, cancellation);
        if (!act.IsOk)
        {
            return Outcome<T>.Refused(act.Refusals);
        }

        if (once is { } key && await RepeatedAsync<T>(act.Value, key) is { } earlier)
        {
            idempotency.Replayed = earlier.IsOk;
            return earlier;
        }

        Outcome<T> outcome = await deed(act.Value);
        if (!outcome.IsOk)
        {
            return outcome;
        }

        if (once is { } keep)
        {
            db.IdempotentResponses.Add(new IdempotentResponse
            {
                PersonId = by,
                Route = keep.Route,
                Key = keep.Key,
                BodyHash = keep.BodyHash,
                Response = JsonSerializer.Serialize(outcome.Value, Kept),
                CreatedAt = act.Value.Now,
            });
        }

        await db.SaveChangesAsync(cancellation);
        if (!await CommitAsync(transaction, mark, cancellation))
        {
            return DatabaseTrouble.NobodyKnows();
        }

        // Everything is saved, so that nothing has to be looked for once more.
        db.ChangeTracker.AutoDetectChangesEnabled = false;
        if (db.ChangeTracker.Entries<Lot>().Any() || db.ChangeTracker.Entries<YardageSettings>().Any())
        {
            yardage.Wake();
        }

        Committed?.Invoke();
        return outcome;
    }

    /// <returns>False when nobody knows whether it was done; not done at all throws.</returns>
    private async Task<bool> CommitAsync(IDbContextTransaction transaction, Guid mark, CancellationToken cancellation)
    {
        try
        {
            // Not to be cancelled: whoever leaves just now would not know whether it was saved, and neither would we.
            await transaction.CommitAsync(CancellationToken.None);
            return true;
        }
        catch (Exception exception) when (DatabaseTrouble.IsSilent(exception))
        {
            switch (await IsMarkedAsync(mark, cancellation))
            {
                case true:
                    return true;
                case false:
                    throw;
                default:
                    return false;
            }
        }
    }

    /// <summary>Whether the write that left this mark was done; null when the database does not say.</summary>
    private async Task<bool?> IsMarkedAsync(Guid mark, CancellationToken cancellation)
    {
        for (int attempt = 1; ; attempt++)
        {
            try
            {
                await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
                await using IDbContextTransaction trial = await db.Database.BeginTransactionAsync(cancellation);

                // Looking is not enough, since the write may still be on its way. Putting the same mark down waits for its end, and is taken back.
                return await db.Database.ExecuteSqlAsync($"insert into write_mark (id) values ({mark}) on conflict do nothing", cancellation) == 0;
            }
            catch (Exception exception) when (DatabaseTrouble.IsSilent(exception))
            {
                if (!await DatabaseTrouble.PauseAsync(attempt, cancellation))
                {
                    return null;
                }
            }
        }
    }

    /// <summary>
    /// The kept answer of the key, if there is one. Requests with the same key wait for each other here: the second must find the
    /// first one's answer, and not be refused because the first took what both ask for.
    /// </summary>
    private static async Task<Outcome<T>?> RepeatedAsync<T>(Act act, (string Route, string Key, byte[] BodyHash) key)
    {
        string turn = $"{act.By.Id} {key.Route} {key.Key}";
        await act.Db.Database.ExecuteSqlAsync($"select pg_advisory_xact_lock(hashtextextended({turn}, 0))", act.Cancellation);
        IdempotentResponse? earlier = await act.Db.IdempotentResponses
            .SingleOrDefaultAsync(r => r.PersonId == act.By.Id && r.Route == key.Route && r.Key == key.Key, act.Cancellation);
        if (earlier is null)
        {
            return null;
        }

        if (earlier.CreatedAt < act.Now - IdempotentResponse.KeptFor)
        {
            act.Db.IdempotentResponses.Remove(earlier);
            await act.Db.SaveChangesAsync(act.Cancellation);
            return null;
        }

        return earlier.BodyHash.AsSpan().SequenceEqual(key.BodyHash)
            ? JsonSerializer.Deserialize<T>(earlier.Response, Kept)!
            : key.Route.StartsWith(RequestOnce.OfPages, StringComparison.Ordinal) ? RequestOnce.SavedElsewhere()
            : new Refusal("key-used-for-another-request", RefusalKind.Invalid, new Phrase("This Idempotency-Key was used with another body. Send a new key with a new request."), "Idempotency-Key");
    }

    /// <param name="mark">Left behind by a write, in the same trip; null when only reading.</param>
    private async Task<Outcome<Act>> BeginAsync(GuildDbContext db, Guid by, Role least, Guid? mark, CancellationToken cancellation)
    {
        List<ActorRow> rows = await (mark is null ? Actor(db, by) : ActorWithMark(db, by, mark.Value)).ToListAsync(cancellation);
        if (rows is not [{ DisabledAt: null } row])
        {
            LogNotActive(by);
            return Refusal.Forbidden("This account is not active. Ask an administrator of your guild.");
        }

        return await AdmitAsync(db, row, least, cancellation);
    }

    private static IQueryable<ActorRow> Actor(GuildDbContext db, Guid by) => db.Database.SqlQuery<ActorRow>(
        $"select id, display_name, role, disabled_at, now() as now, (select stamp from yardage) as stamp from person where id = {by}");

    private static IQueryable<ActorRow> ActorWithMark(GuildDbContext db, Guid by, Guid mark) => db.Database.SqlQuery<ActorRow>(
        $"""
         with mark as (insert into write_mark (id) values ({mark}))
         select id, display_name, role, disabled_at, now() as now, (select stamp from yardage) as stamp from person where id = {by}
         """);

    private async Task<Outcome<Act>> AdmitAsync(GuildDbContext db, ActorRow row, Role least, CancellationToken cancellation)
    {
        Role role = Enum.Parse<Role>(row.Role);
        if (role >= least)
        {
            return new Act(db, new Actor(row.Id, row.DisplayName, role), row.Now - Earlier, await yardage.AtAsync(db, row.Stamp, cancellation), cancellation);
        }

        LogNotAllowed(row.Id, role, least);
        return Refusal.Forbidden("This needs the role \"{0}\"; you are \"{1}\". Ask a coordinator of your guild.", RoleNames.Of(least), RoleNames.Of(role));
    }

    private void LogNotActive(Guid person)
    {
        if (log is not null)
        {
            NotActive(log, person);
        }
    }

    private void LogNotAllowed(Guid person, Role role, Role least)
    {
        if (log is not null)
        {
            NotAllowed(log, person, role, least);
        }
    }

    [LoggerMessage(LogLevel.Warning, "Person {Person} has no active account and was refused")]
    private static partial void NotActive(ILogger log, Guid person);

    [LoggerMessage(LogLevel.Warning, "Person {Person} is {Role} and was refused what needs {Least}")]
    private static partial void NotAllowed(ILogger log, Guid person, Role role, Role least);

    private static PostgresException? Postgres(Exception exception) => DatabaseTrouble.Npgsql(exception) as PostgresException;

    private static bool LostRace(Exception exception) =>
        Postgres(exception) is { } e
        && (e.SqlState is PostgresErrorCodes.DeadlockDetected or PostgresErrorCodes.SerializationFailure
            || (e.SqlState == PostgresErrorCodes.UniqueViolation && e.TableName == "idempotent_response"));

    private static Refusal? BrokenConstraint(Exception exception) => Postgres(exception) switch
    {
        { SqlState: PostgresErrorCodes.CheckViolation, ConstraintName: "lot_held_within_free" or "lot_on_hand_not_negative" or "lot_quarantined_within_on_hand" } =>
            Refusal.Conflict("not-enough-free", "Not that much is free in the lot any more. Reload to see what is left."),
        { SqlState: PostgresErrorCodes.CheckViolation, ConstraintName: "checkout_at_home_not_negative" } =>
            Refusal.Conflict("more-than-taken", "That is more than the member still has at home."),
        { SqlState: FrozenBin.SqlState } e => FrozenBin.Refused(e.Hint),
        { SqlState: PostgresErrorCodes.UniqueViolation } e =>
            Refusal.Conflict("exists-already", "That exists already ({0}). Choose another.", e.ConstraintName ?? "unique"),
        _ => null,
    };
}
