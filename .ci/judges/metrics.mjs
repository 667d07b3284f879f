// The figures as a parser of the Prometheus text format reads them.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import parse from 'parse-prometheus-text-format';

const base = process.env.AGEWATCH_BASE;

test('the figures are read, and only with the operator\'s key', async () => {
  assert.equal((await fetch(`${base}/metrics`)).status, 401);
  assert.equal((await fetch(`${base}/metrics`, { headers: { authorization: `Bearer ${process.env.AGEWATCH_KEY}` } })).status, 401);
  const reply = await fetch(`${base}/metrics`, { headers: { authorization: `Bearer ${process.env.AGEWATCH_METRICS}` } });
  assert.equal(reply.status, 200);
  assert.equal(reply.headers.get('content-type'), 'text/plain; version=0.0.4; charset=utf-8');
  const families = new Map(parse(await reply.text()).map(family => [family.name, family]));
  assert.equal(families.get('http_server_request_duration_seconds').type, 'HISTOGRAM');
  assert.equal(families.get('agewatch_workers_alive').metrics[0].value, '1');
  assert.deepEqual(families.get('agewatch_outbox_waiting').metrics.map(metric => metric.labels.outbox).toSorted(), ['mail', 'webhooks']);
  assert.equal(families.get('agewatch_nights_late').metrics[0].value, '0');
  for (const [name, family] of families) {
    assert.match(name, /^[a-zA-Z_:][a-zA-Z0-9_:]*$/);
    assert.ok(family.help && family.metrics.length > 0, name);
  }
});
