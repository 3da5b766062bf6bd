using CsvHelper;

namespace GuildStash.Web.Features.Inventory;

/// <summary>
/// A CSV file on its way to a browser, record by record: RFC 4180, UTF-8 with a byte order mark so that spreadsheets know the
/// letters, and an apostrophe before whatever a spreadsheet would take for a formula.
/// </summary>
internal sealed class CsvFile(HttpContext http, string name, IReadOnlyList<string> heads) : IAsyncDisposable
{
    private static readonly CsvWriterOptions Options = new() { WriteByteOrderMark = true, Injection = CsvInjection.Escape };

    private CsvWriter? _writer;

    /// <summary>Writes one record; before the first one the response and the row of heads are begun.</summary>
    public async ValueTask WriteAsync(IReadOnlyList<string> cells)
    {
        CsvWriter writer = await BegunAsync();
        await writer.WriteRecordAsync([.. cells], http.RequestAborted);
    }

    /// <summary>Sends the rest; a file without records has its heads.</summary>
    public async ValueTask EndAsync()
    {
        CsvWriter writer = await BegunAsync();
        await writer.FlushAsync(http.RequestAborted);
    }

    public ValueTask DisposeAsync() => _writer?.DisposeAsync() ?? ValueTask.CompletedTask;

    private async ValueTask<CsvWriter> BegunAsync()
    {
        if (_writer is null)
        {
            http.Response.ContentType = "text/csv; charset=utf-8; header=present";
            http.Response.Headers.ContentDisposition = $"attachment; filename=\"{name}\"";
            http.Response.Headers.CacheControl = "private, no-store";
            _writer = CsvWriter.Create(http.Response.Body, Options, leaveOpen: true);
            await _writer.WriteRecordAsync([.. heads], http.RequestAborted);
        }

        return _writer;
    }
}
