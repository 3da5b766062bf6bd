using GuildStash.Data.Api;
using GuildStash.Data.Approvals;
using GuildStash.Data.Counting;
using GuildStash.Data.Guild;
using GuildStash.Data.Intake;
using GuildStash.Data.Ledger;
using GuildStash.Data.People;
using GuildStash.Data.Projects;
using GuildStash.Data.Quarantine;
using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Counting;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using Microsoft.AspNetCore.DataProtection.EntityFrameworkCore;
using Microsoft.AspNetCore.Identity;
using Microsoft.AspNetCore.Identity.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Data;

/// <summary>The guild's database. Make one context per operation.</summary>
public sealed class GuildDbContext(DbContextOptions<GuildDbContext> options)
    : IdentityUserContext<Person, Guid>(options), IDataProtectionKeyContext
{
    public DbSet<GuildSettings> Guilds => Set<GuildSettings>();

    public DbSet<YardageSettings> Yardage => Set<YardageSettings>();

    public DbSet<GuildWeightClassTable> WeightClassTables => Set<GuildWeightClassTable>();

    public DbSet<NumberCounter> NumberCounters => Set<NumberCounter>();

    public DbSet<Person> People => Set<Person>();

    public DbSet<Invitation> Invitations => Set<Invitation>();

    public DbSet<ApiToken> ApiTokens => Set<ApiToken>();

    public DbSet<Draft> Drafts => Set<Draft>();

    public DbSet<SavedFilter> SavedFilters => Set<SavedFilter>();

    public DbSet<IdempotentResponse> IdempotentResponses => Set<IdempotentResponse>();

    public DbSet<WriteMark> WriteMarks => Set<WriteMark>();

    public DbSet<Donor> Donors => Set<Donor>();

    public DbSet<DonorTrailEntry> DonorTrail => Set<DonorTrailEntry>();

    public DbSet<Donation> Donations => Set<Donation>();

    public DbSet<Bag> Bags => Set<Bag>();

    public DbSet<Site> Sites => Set<Site>();

    public DbSet<Bin> Bins => Set<Bin>();

    public DbSet<Lot> Lots => Set<Lot>();

    public DbSet<Movement> Movements => Set<Movement>();

    public DbSet<LotTransfer> LotTransfers => Set<LotTransfer>();

    public DbSet<HoldRequest> HoldRequests => Set<HoldRequest>();

    public DbSet<Hold> Holds => Set<Hold>();

    public DbSet<Checkout> Checkouts => Set<Checkout>();

    public DbSet<LotReturn> LotReturns => Set<LotReturn>();

    public DbSet<Project> Projects => Set<Project>();

    public DbSet<WantedPiece> WantedPieces => Set<WantedPiece>();

    public DbSet<Piece> Pieces => Set<Piece>();

    public DbSet<PiecePart> PieceParts => Set<PiecePart>();

    public DbSet<PieceSizeTable> PieceSizeTables => Set<PieceSizeTable>();

    public DbSet<Plan> Plans => Set<Plan>();

    public DbSet<Kit> Kits => Set<Kit>();

    public DbSet<KitLine> KitLines => Set<KitLine>();

    public DbSet<PieceRecord> PieceRecords => Set<PieceRecord>();

    public DbSet<Approval> Approvals => Set<Approval>();

    public DbSet<ApprovalLot> ApprovalLots => Set<ApprovalLot>();

    public DbSet<BinCount> BinCounts => Set<BinCount>();

    public DbSet<BinCountLine> BinCountLines => Set<BinCountLine>();

    public DbSet<Scale> Scales => Set<Scale>();

    public DbSet<ScaleCheck> ScaleChecks => Set<ScaleCheck>();

    public DbSet<FreezerRun> FreezerRuns => Set<FreezerRun>();

    public DbSet<FreezerLoad> FreezerLoads => Set<FreezerLoad>();

    public DbSet<DataProtectionKey> DataProtectionKeys => Set<DataProtectionKey>();

    protected override Version SchemaVersion => IdentitySchemaVersions.Version2;

    protected override void OnModelCreating(ModelBuilder builder)
    {
        base.OnModelCreating(builder);
        builder.HasPostgresExtension("pg_trgm");
        builder.HasDbFunction(typeof(LotPairs).GetMethod(nameof(LotPairs.Has))!).HasName("lot_has_pair").IsNullable(false);
        builder.Entity<IdentityUserClaim<Guid>>().ToTable("person_claim");
        builder.Entity<IdentityUserLogin<Guid>>().ToTable("person_login");
        builder.Entity<IdentityUserToken<Guid>>().ToTable("person_token");
        builder.Entity<DataProtectionKey>().ToTable("data_protection_key");
        builder.ApplyConfigurationsFromAssembly(typeof(GuildDbContext).Assembly);
    }

    /// <summary>Names instead of numbers in the tables: they survive a reordering and explain themselves in an export. Flag sets stay numbers.</summary>
    protected override void ConfigureConventions(ModelConfigurationBuilder configuration)
    {
        Named<WeightClass>(configuration);
        Named<ColourFamily>(configuration);
        Named<FibreBasis>(configuration);
        Named<Texture>(configuration);
        Named<EstimateBasis>(configuration);
        Named<PutUp>(configuration);
        Named<Tristate>(configuration);
        Named<Softness>(configuration);
        Named<IntakeKind>(configuration);
        Named<IntakeDecision>(configuration);
        Named<QuarantinePolicy>(configuration);
        Named<QuarantineReason>(configuration);
        Named<DonorTrailKind>(configuration);
        Named<DonorTrailWay>(configuration);
        Named<PlaceKind>(configuration);
        Named<MovementReason>(configuration);
        Named<LotTransferKind>(configuration);
        Named<HoldState>(configuration);
        Named<ApprovalKind>(configuration);
        Named<ApprovalState>(configuration);
        Named<CountWay>(configuration);
        Named<CountOutcome>(configuration);
        Named<BinKind>(configuration);
        Named<PieceCraft>(configuration);
        Named<PieceStep>(configuration);
        Named<PlanPurpose>(configuration);
        Named<PlanState>(configuration);
        Named<Role>(configuration);
        Named<TokenScope>(configuration);
        Named<LengthUnit>(configuration);
        Named<Theme>(configuration);
    }

    private static void Named<T>(ModelConfigurationBuilder configuration)
        where T : struct, Enum =>
        configuration.Properties<T>().HaveConversion<string>().HaveMaxLength(32);
}
