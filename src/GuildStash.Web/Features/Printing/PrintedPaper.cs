using System.Net.Mime;
using Microsoft.Net.Http.Headers;

namespace GuildStash.Web.Features.Printing;

/// <summary>A finished PDF.</summary>
/// <param name="Name">File name with its ending, of letters, digits and hyphens.</param>
public sealed record PrintedPaper(string Name, byte[] Pdf)
{
    /// <summary>Opens in the browser; saved, it has its name. Not kept by anybody on the way, since tomorrow's sheet says something else.</summary>
    public static IResult Result(PrintedPaper paper) => new Inline(paper);

    private sealed class Inline(PrintedPaper paper) : IResult
    {
        public Task ExecuteAsync(HttpContext httpContext)
        {
            httpContext.Response.Headers[HeaderNames.ContentDisposition] = $"inline; filename=\"{paper.Name}\"";
            httpContext.Response.Headers[HeaderNames.CacheControl] = "private, no-store";
            return TypedResults.Bytes(paper.Pdf, MediaTypeNames.Application.Pdf).ExecuteAsync(httpContext);
        }
    }
}
