using System.Diagnostics.CodeAnalysis;
using System.Runtime.CompilerServices;

[assembly: InternalsVisibleTo("GuildStash.Benchmarks")]
[assembly: InternalsVisibleTo("GuildStash.Data.Tests")]
[assembly: InternalsVisibleTo("GuildStash.TestSupport")]

[assembly: SuppressMessage(
    "Interoperability",
    "CA1416:Validate platform compatibility",
    Scope = "namespaceanddescendants",
    Target = "~N:GuildStash.Data.Server",
    Justification = "The embedded server runs on Linux only, and EmbeddedPostgres refuses to start anywhere else.")]
