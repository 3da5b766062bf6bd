namespace GuildStash.Web.Features.Printing;

/// <summary>Cookie routes that pages link to: PDFs and short addresses behind QR codes.</summary>
public static class PrintRoutes
{
    public static void MapPages(this IEndpointRouteBuilder app)
    {
    }
}
