using GuildStash.Data;
using GuildStash.Domain.People;
using GuildStash.Domain.Yardage;

namespace GuildStash.Web.Infrastructure.Work;

/// <summary>The person who acts, as the database knows them at this moment.</summary>
public sealed record Actor(Guid Id, string Name, Role Role);

/// <summary>One act of one person: its database context, open transaction and moment.</summary>
/// <param name="Now">The database's clock, which decides about holds; the same for the whole act.</param>
/// <param name="Yardage">How the guild tells length, as it stood when the act began.</param>
public sealed record Act(GuildDbContext Db, Actor By, DateTimeOffset Now, YardageRules Yardage, CancellationToken Cancellation);
