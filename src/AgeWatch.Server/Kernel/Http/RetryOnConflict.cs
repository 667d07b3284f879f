using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Kernel.Http;

internal static class RetryOnConflict
{
    private const int MostTries = 20;

    /// <summary>
    /// A write that someone else has overtaken is judged again on what the records now say. It then answers as if it
    /// had come later: 412 where the caller's own If-Match no longer fits, 409 where a twin was made, and done where
    /// only a neighbour was touched.
    /// </summary>
    public static async ValueTask<object?> AgainAsync(
        EndpointFilterInvocationContext context, EndpointFilterDelegate next)
    {
        for (var tries = 1; ; tries++)
        {
            try
            {
                return await next(context);
            }
            catch (DbUpdateException race) when (tries < MostTries && IsRace(race))
            {
                context.HttpContext.RequestAborted.ThrowIfCancellationRequested();
                context.HttpContext.RequestServices.GetRequiredService<AgeWatchContext>().ChangeTracker.Clear();
            }
        }
    }

    private static bool IsRace(DbUpdateException fault) =>
        fault is DbUpdateConcurrencyException || fault.IsUniqueViolation() || fault.IsForeignKeyViolation();
}
