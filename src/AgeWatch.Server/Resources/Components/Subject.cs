using System.Reflection;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Due;

namespace AgeWatch.Server.Resources.Components;

/// <summary>What a finding, a deferral or a limit of one's own belongs to: a part or a service task.</summary>
/// <param name="VehicleId">Null: the part is on the shelf or discarded.</param>
/// <param name="Path">From the root.</param>
internal sealed record Subject(
    IVersioned Row, Guid? ComponentId, Guid? ServiceTaskId, Guid? VehicleId, string PartKind, string Path);

/// <summary>Maps the same routes under both kinds of subject and tells the handler which of them was asked.</summary>
internal sealed record SubjectRoute(SubjectKind Kind, string Path, string Name) : IBindableFromHttpContext<SubjectRoute>
{
    public static readonly IReadOnlyList<SubjectRoute> All =
    [
        new(SubjectKind.Component, "components", "Component"),
        new(SubjectKind.ServiceTask, "service-tasks", "ServiceTask"),
    ];

    public RouteGroupBuilder Map(IEndpointRouteBuilder v1, string path, string tag, string description) =>
        v1.MapResource($"/{Path}/{{id:guid}}/{path}", tag, description).WithMetadata(this);

    public static ValueTask<SubjectRoute?> BindAsync(HttpContext context, ParameterInfo parameter) =>
        ValueTask.FromResult<SubjectRoute?>(context.GetEndpoint()!.Metadata.GetRequiredMetadata<SubjectRoute>());

    public async Task<Subject?> FindAsync(AgeWatchContext db, Caller caller, Guid id, CancellationToken stop) =>
        Kind switch
        {
            SubjectKind.Component => await db.FindComponentAsync(caller, id, stop) is { } component
                ? new(component, id, null, component.VehicleId, component.PartKind, $"/v1/{Path}/{id}")
                : null,
            SubjectKind.ServiceTask => await db.FindTaskAsync(caller, id, stop) is { } task
                ? new(task, null, id, task.VehicleId, task.PartKind, $"/v1/{Path}/{id}")
                : null,
        };
}
