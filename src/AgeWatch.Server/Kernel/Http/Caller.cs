using System.Diagnostics;
using System.Reflection;
using AgeWatch.Storage.Clubs;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>Who asks: a handler takes it as a parameter. Every query must narrow to <see cref="ClubId"/>.</summary>
internal sealed record Caller(Guid ClubId, Guid KeyId, KeyRole Role, Guid? MemberId) : IBindableFromHttpContext<Caller>
{
    public static ValueTask<Caller?> BindAsync(HttpContext context, ParameterInfo parameter) =>
        ValueTask.FromResult<Caller?>(context.Features.Get<Caller>()
            ?? throw new UnreachableException("A handler that wants the caller must lie behind a right."));
}
