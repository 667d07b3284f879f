using AgeWatch.Server.Delivery.Webhooks;

namespace AgeWatch.Server.Delivery;

/// <summary>Keeps the outboxes empty. Several may run, in one process or in many.</summary>
internal sealed class OutboxWorker(
    DigestOutbox digests, WebhookOutbox webhooks, OutboxOptions options, TimeProvider clock, ILogger<OutboxWorker> log)
        : BackgroundService
{
    protected override Task ExecuteAsync(CancellationToken stoppingToken) => Task.WhenAll(
        PumpAsync("mail", digests.SendDueAsync, stoppingToken),
        PumpAsync("webhooks", webhooks.SendDueAsync, stoppingToken));

    private async Task PumpAsync(string name, Func<CancellationToken, Task<int>> sendDue, CancellationToken stop)
    {
        await Task.Yield();
        while (!stop.IsCancellationRequested)
        {
            try
            {
                await sendDue(stop);
            }
            catch (OperationCanceledException) when (stop.IsCancellationRequested)
            {
                return;
            }
            catch (Exception error)
            {
                // What is not marked as sent is still in the table; the next round takes it up.
                log.LogError(error, "The outbox for {Outbox} failed and goes on", name);
            }

            await Task.Delay(options.Poll, clock, stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }
}
