using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Infrastructure;
using Microsoft.EntityFrameworkCore.Metadata;
using Xunit;

namespace GuildStash.Data.Tests.Migrations;

/// <summary>The program starts with a model that was worked out beforehand, which spares a quarter of its start; it must be that of the classes.</summary>
public sealed class CompiledModelTests
{
    private sealed record ReadRaw(int Number);

    [Fact]
    public void CompiledModel_IsThatOfTheClasses()
    {
        using GuildDbContext db = GuildDatabase.Open("Host=localhost;Database=nowhere");
        Assert.IsType<CompiledModel.GuildDbContextModel>(db.Model, exactMatch: true);
        IModel ofTheClasses = db.GetService<IModelSource>().GetModel(db, db.GetService<ModelCreationDependencies>(), designTime: false);

        // Whatever a raw query was ever read into in this process stands in the one compiled model as well, as an ad-hoc type.
        _ = db.Database.SqlQueryRaw<ReadRaw>("SELECT 1 AS \"Number\"").ToQueryString();
        string[] expected = Lines(ofTheClasses);
        string[] compiled = Lines(db.Model);

        Assert.True(expected.Length > 500, $"Only {expected.Length} lines tell of the model.");
        Assert.True(expected.SequenceEqual(compiled), "The model was changed: compile it anew (see DEVELOPERS.md, Schema changes). The first line that differs: "
            + expected.Zip(compiled).Where(pair => pair.First != pair.Second).Select(pair => $"{pair.First.Trim()}, compiled as {pair.Second.Trim()}").FirstOrDefault("the number of lines"));
    }

    /// <summary>
    /// The entities and the model's own annotations. Left out are the kinds of indexes, which only migrations ask for and are not compiled,
    /// and the ad-hoc types, which belong to what ran before and not to what was compiled.
    /// </summary>
    private static string[] Lines(IModel model) =>
        [.. model.GetEntityTypes().Select(entity => entity.ToDebugString(MetadataDebugStringOptions.LongDefault))
            .Append(model.AnnotationsToDebugString())
            .SelectMany(part => part.Split('\n')).Where(line => !line.Contains("Npgsql:IndexMethod", StringComparison.Ordinal))];
}
