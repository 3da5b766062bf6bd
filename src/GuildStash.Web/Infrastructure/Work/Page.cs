using GuildStash.Domain.Rules;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Infrastructure.Work;

/// <summary>Which part of a list is wanted: page from 1, at most 500 rows.</summary>
public readonly record struct PageRequest(int Page = 1, int PageSize = 50)
{
    public const int LargestPageSize = 500;
    public const int LastPage = 1_000_000;

    /// <summary>The first page; without it the compiler's own constructor would make page 0 of no rows.</summary>
    public PageRequest()
        : this(1, 50)
    {
    }

    public Refusal? Wrong() =>
        Page is < 1 or > LastPage
            ? Refusal.Invalid("page", "There can't be a page {0}; allowed are 1 to {1}.", Page, LastPage)
            : PageSize is < 1 or > LargestPageSize
                ? Refusal.Invalid("pageSize", "A page of {0} rows can't be shown; allowed are 1 to {1}.", PageSize, LargestPageSize)
                : null;
}

/// <summary>A part of a list and how long the whole is.</summary>
public sealed record PageOf<T>(IReadOnlyList<T> Items, int Page, int PageSize, int Total)
{
    public PageOf<TOther> Select<TOther>(Func<T, TOther> map) => new([.. Items.Select(map)], Page, PageSize, Total);
}

public static class Paging
{
    /// <summary>Counts and reads one page; the query must be ordered.</summary>
    public static async Task<PageOf<T>> PageAsync<T>(this IQueryable<T> query, PageRequest page, CancellationToken cancellation)
    {
        int total = await query.CountAsync(cancellation);
        List<T> items = await query.Skip((page.Page - 1) * page.PageSize).Take(page.PageSize).ToListAsync(cancellation);
        return new PageOf<T>(items, page.Page, page.PageSize, total);
    }
}
