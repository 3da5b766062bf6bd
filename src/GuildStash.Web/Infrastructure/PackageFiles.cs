using Microsoft.AspNetCore.Components;

namespace GuildStash.Web.Infrastructure;

/// <summary>
/// The component library's style sheet and script. The build packs a package's files under their plain names only: under the names with a
/// fingerprint, which browsers may keep, they went out unpacked, at twelve times the size. So a page asks for the plain name with the
/// fingerprint behind it.
/// </summary>
internal static class PackageFiles
{
    private const string Fingerprint = "v";

    /// <param name="path">The file's plain name, for instance <c>_content/Package/file.css</c>.</param>
    public static string Address(ResourceAssetCollection assets, string path) =>
        $"{path}?{Fingerprint}={Path.GetFileNameWithoutExtension(assets[path]).Split('.')[^1]}";

    /// <summary>What is asked for by its fingerprint never changes.</summary>
    public static void UsePackageFiles(this IApplicationBuilder app) => app.Use((context, next) =>
    {
        if (context.Request.Path.StartsWithSegments("/_content", StringComparison.Ordinal) && context.Request.Query.ContainsKey(Fingerprint))
        {
            context.Response.OnStarting(() =>
            {
                if (context.Response.StatusCode is StatusCodes.Status200OK or StatusCodes.Status304NotModified)
                {
                    context.Response.Headers.CacheControl = "max-age=31536000, immutable";
                }

                return Task.CompletedTask;
            });
        }

        return next();
    });
}
