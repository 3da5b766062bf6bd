using GuildStash.Data;
using GuildStash.Web.Infrastructure;

string connection = Environment.GetEnvironmentVariable("GUILDSTASH_DATABASE") ?? throw new InvalidOperationException("GUILDSTASH_DATABASE is not set.");
await GuildDatabase.MigrateAsync(connection, connection, CancellationToken.None);
WebApplicationBuilder builder = WebApplication.CreateBuilder(args);
builder.AddGuildStash(new AppSettings(connection, null));
WebApplication app = builder.Build();
app.UseGuildStash();
app.Run();
