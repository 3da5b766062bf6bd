using System.Globalization;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Http.Features;
using Microsoft.AspNetCore.Localization;

namespace GuildStash.Web.Features.Api;

/// <summary>Under /api whatever goes wrong is answered with a problem document, never with a page or a stack trace.</summary>
internal sealed partial class ApiErrors(RequestDelegate next, ILogger<ApiErrors> log)
{
    private const int ClientClosedRequest = 499;

    public async Task InvokeAsync(HttpContext context)
    {
        if (!context.Request.Path.StartsWithSegments("/api"))
        {
            await next(context);
            return;
        }

        if (context.Features.Get<IHttpMaxRequestBodySizeFeature>() is { IsReadOnly: false } size)
        {
            size.MaxRequestBodySize = ApiBody.CutAtBytes;
        }

        try
        {
            await next(context);
        }
        catch (OperationCanceledException) when (context.RequestAborted.IsCancellationRequested)
        {
            context.Response.StatusCode = ClientClosedRequest;
            return;
        }
        catch (BadHttpRequestException wrong) when (!context.Response.HasStarted)
        {
            await AnswerAsync(context, wrong.StatusCode);
        }
        catch (Exception fault) when (!context.Response.HasStarted)
        {
            LogFault(fault, context.Request.Method, context.Request.Path);
            await (DatabaseTrouble.Of(fault) is { } trouble ? ApiProblems.Refused([trouble]).ExecuteAsync(context) : AnswerAsync(context, StatusCodes.Status500InternalServerError));
        }

        if (context.Response is { HasStarted: false, StatusCode: >= 400, ContentType: null, ContentLength: null })
        {
            await AnswerAsync(context, context.Response.StatusCode);
        }
    }

    /// <summary>The culture that was found further in does not reach out here by itself.</summary>
    private static Task AnswerAsync(HttpContext context, int status)
    {
        if (context.Features.Get<IRequestCultureFeature>()?.RequestCulture is { } request)
        {
            (CultureInfo.CurrentCulture, CultureInfo.CurrentUICulture) = (request.Culture, request.UICulture);
        }

        return ApiProblems.Of(status).ExecuteAsync(context);
    }

    [LoggerMessage(LogLevel.Error, "{Method} {Path} failed")]
    private partial void LogFault(Exception fault, string method, string path);
}
