using System.Diagnostics.Metrics;
using AgeWatch.Server.Nights;
using AgeWatch.Server.Outbox;
using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Metrics;

/// <summary>What waits and what is late, of all clubs together: no name, address or id of a club or a person is a
/// label.</summary>
internal sealed class WorkFigures : IDisposable
{
    private readonly IServiceScopeFactory _scopes;
    private readonly TimeProvider _clock;
    private readonly Meter _meter;
    private volatile Figures? _now;

    public WorkFigures(IServiceScopeFactory scopes, TimeProvider clock)
    {
        _scopes = scopes;
        _clock = clock;

        // Of this server alone, also where several run in one process.
        MeterName = $"AgeWatch.Work.{Guid.NewGuid():n}";
        _meter = new(MeterName);
        _meter.CreateObservableGauge(
            "agewatch.outbox.waiting", () => Both(f => f.Mail.Waiting, f => f.Webhooks.Waiting), "{item}",
            "Digests and webhook calls not yet accepted.");
        _meter.CreateObservableGauge(
            "agewatch.outbox.oldest", () => Both(f => f.Age(f.Mail.OldestAt), f => f.Age(f.Webhooks.OldestAt)), "s",
            "Age of the oldest that is not yet accepted.");
        _meter.CreateObservableGauge(
            "agewatch.outbox.due", () => Both(f => f.Age(f.Mail.DueSince), f => f.Age(f.Webhooks.DueSince)), "s",
            "For how long the longest due has not been taken up.");
        _meter.CreateObservableGauge("agewatch.nights.late", () =>
            One(f => f.LateNights), "{club}", "Clubs whose night should have been over long ago.");
        _meter.CreateObservableGauge("agewatch.workers.alive", () =>
            One(f => f.Workers), "{worker}", "Workers with a pulse.");
        _meter.CreateObservableGauge("agewatch.mail.suspended", () =>
            One(f => f.Suspended), "{member}", "Members whose address the mail server has refused for good.");
        _meter.CreateObservableGauge("agewatch.webhooks.disabled", () =>
            One(f => f.Disabled), "{webhook}", "Webhooks that are disabled.");
    }

    public string MeterName { get; }

    /// <summary>Before a collection, because an instrument cannot wait for a database.</summary>
    public async Task ReadAsync(CancellationToken stop)
    {
        await using var scope = _scopes.CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
        var now = _clock.GetUtcNow().UtcDateTime;
        var alive = now - NightCheck.Silent;
        _now = new(
            now,
            await OutboxState.OfMailAsync(db, stop),
            await OutboxState.OfWebhooksAsync(db, stop),
            await scope.ServiceProvider.GetRequiredService<NightCheck>().CountLateAsync(now, stop),
            await db.WorkerHeartbeats.CountAsync(h => h.At >= alive, stop),
            await db.Members.AcrossClubs().CountAsync(m => m.MailSuspendedAt != null, stop),
            await db.Webhooks.AcrossClubs().CountAsync(w => w.DisabledAt != null, stop));
    }

    public void Dispose() => _meter.Dispose();

    private IEnumerable<Measurement<double>> One(Func<Figures, double> value) =>
        _now is { } figures ? [new(value(figures))] : [];

    private IEnumerable<Measurement<double>> Both(Func<Figures, double> mail, Func<Figures, double> webhooks) =>
        _now is { } figures
        ? [
            new(mail(figures), new KeyValuePair<string, object?>("outbox", "mail")),
            new(webhooks(figures), new KeyValuePair<string, object?>("outbox", "webhooks"))]
        : [];

    private sealed record Figures(
        DateTime At, OutboxState Mail, OutboxState Webhooks, int LateNights, int Workers, int Suspended, int Disabled)
    {
        public double Age(DateTime? since) => since is { } then && then < At ? (At - then).TotalSeconds : 0;
    }
}
