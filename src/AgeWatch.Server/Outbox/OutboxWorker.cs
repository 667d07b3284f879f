namespace AgeWatch.Server.Outbox;

/// <summary>Keeps the outboxes empty. Several may run, in one process or in many.</summary>
internal sealed class OutboxWorker(
    IEnumerable<IOutbox> outboxes, OutboxOptions options, TimeProvider clock, ILogger<OutboxWorker> log)
    : BackgroundService
{
    protected override Task ExecuteAsync(CancellationToken stoppingToken) => Task.WhenAll(
        outboxes.Select(outbox => PumpAsync(outbox, stoppingToken)));

    private async Task PumpAsync(IOutbox outbox, CancellationToken stop)
    {
        await Task.Yield();
        while (!stop.IsCancellationRequested)
        {
            try
            {
                await outbox.SendDueAsync(stop);
            }
            catch (OperationCanceledException) when (stop.IsCancellationRequested)
            {
                return;
            }
            catch (Exception error)
            {
                // What is not marked as sent is still in the table; the next round takes it up.
                log.LogError(error, "The outbox for {Outbox} failed and goes on", outbox.Name);
            }

            await Task.Delay(options.Poll, clock, stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }
}
