using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Services;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Components;

internal static class ServiceTaskRows
{
    public static Task<ServiceTask?> FindTaskAsync(
        this AgeWatchContext db, Caller caller, Guid id, CancellationToken stop) =>
        db.ServiceTasks.SingleOrDefaultAsync(t => t.Id == id, stop);
}
