// Calls that the running server really makes, verified by the reference library of Standard Webhooks; the receiver is here.
import assert from 'node:assert/strict';
import { once } from 'node:events';
import { createServer } from 'node:http';
import { after, test } from 'node:test';
import { Webhook } from 'standardwebhooks';

const base = process.env.AGEWATCH_BASE;
const headers = { authorization: `Bearer ${process.env.AGEWATCH_KEY}`, 'content-type': 'application/json' };
const calls = [];
let waiting = () => {};
let answer = response => response.writeHead(204).end();

const receiver = createServer(async (request, response) => {
  const chunks = [];
  for await (const chunk of request) chunks.push(chunk);
  calls.push({ path: request.url, headers: request.headers, body: Buffer.concat(chunks).toString('utf8') });
  answer(response);
  waiting();
}).listen(0, '127.0.0.1');
await once(receiver, 'listening');
after(() => receiver.close());
const address = `http://127.0.0.1:${receiver.address().port}`;

const ask = async (method, path, body, etag) => {
  const reply = await fetch(base + path, {
    method,
    headers: { ...headers, ...(etag ? { 'if-match': etag } : {}), ...(method === 'PATCH' ? { 'content-type': 'application/merge-patch+json' } : {}) },
    body: body ? JSON.stringify(body) : undefined,
  });
  const text = await reply.text();
  assert.ok(reply.ok, `${method} ${path}: ${reply.status} ${text}`);
  return text ? JSON.parse(text) : null;
};

const next = async wanted => {
  for (const end = Date.now() + 60_000; ;) {
    const at = calls.findIndex(wanted);
    if (at >= 0) return calls.splice(at, 1)[0];
    assert.ok(Date.now() < end, 'a call within a minute');
    await new Promise(resolve => { waiting = resolve; setTimeout(resolve, 500); });
  }
};
const typed = type => call => JSON.parse(call.body).type === type;

test('what is delivered verifies, with both secrets while one replaces the other', async () => {
  const made = await ask('POST', '/v1/webhooks', { name: 'Judge', url: `${address}/hook` });
  const id = made.details.id;
  await ask('POST', `/v1/webhooks/${id}/ping`);
  const ping = await next(typed('webhook.ping'));
  assert.equal(new Webhook(made.secret).verify(ping.body, ping.headers).type, 'webhook.ping');
  assert.throws(() => new Webhook(made.secret).verify(ping.body.replace('webhook.ping', 'webhook.pong'), ping.headers));
  assert.throws(() => new Webhook('whsec_' + Buffer.alloc(32).toString('base64')).verify(ping.body, ping.headers));

  const fresh = await ask('POST', `/v1/webhooks/${id}/rotate`, { keepOldHours: 1 }, '*');
  await ask('POST', `/v1/webhooks/${id}/ping`);
  const both = await next(typed('webhook.ping'));
  for (const secret of [made.secret, fresh.secret]) new Webhook(secret).verify(both.body, both.headers);
  await ask('POST', `/v1/webhooks/${id}/rotate`, { keepOldHours: 0 }, '*');
  await ask('DELETE', `/v1/webhooks/${id}`, undefined, '*');
});

test('a changed due state is told, and sent again with the same id when that is asked for', async () => {
  const made = await ask('POST', '/v1/webhooks', { name: 'Judge', url: `${address}/due`, eventTypes: ['due.changed'] });
  const vehicle = await ask('POST', '/v1/vehicles', { name: 'Webhook judge', distanceUnit: 'km', built: '1990' });
  await ask('POST', `/v1/vehicles/${vehicle.id}/components`, { partKind: 'brake-hose-flexible', original: true });
  const mine = call => typed('due.changed')(call) && JSON.parse(call.body).data.vehicleId === vehicle.id;
  const call = await next(mine);
  const event = new Webhook(made.secret).verify(call.body, call.headers);
  assert.equal(event.data.partKind, 'brake-hose-flexible');
  assert.match(event.timestamp, /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d+)?Z$/);
  assert.ok(call.body.length < 20_000);

  let { items } = await ask('GET', `/v1/webhooks/${made.details.id}/deliveries`);
  const delivery = items.find(item => item.messageId === call.headers['webhook-id']);
  for (let tries = 0; tries < 50 && delivery.state !== 'accepted'; tries++) {
    await new Promise(resolve => setTimeout(resolve, 200));
    ({ items } = await ask('GET', `/v1/webhooks/${made.details.id}/deliveries`));
    Object.assign(delivery, items.find(item => item.id === delivery.id));
  }
  await ask('POST', `/v1/webhooks/${made.details.id}/deliveries/${delivery.id}/redeliver`);
  const again = await next(mine);
  assert.equal(again.headers['webhook-id'], call.headers['webhook-id']);
  assert.equal(again.body, call.body);
  await ask('DELETE', `/v1/webhooks/${made.details.id}`, undefined, '*');
});

test('a redirect is a failure and is never followed', async () => {
  answer = response => response.writeHead(302, { location: `${address}/canary` }).end();
  const made = await ask('POST', '/v1/webhooks', { name: 'Judge', url: `${address}/moved` });
  await ask('POST', `/v1/webhooks/${made.details.id}/ping`);
  await next(call => call.path === '/moved');
  let delivery;
  for (let tries = 0; tries < 50 && !delivery?.status; tries++) {
    await new Promise(resolve => setTimeout(resolve, 200));
    ([delivery] = (await ask('GET', `/v1/webhooks/${made.details.id}/deliveries`)).items);
  }
  assert.equal(delivery.status, 302);
  assert.equal(delivery.state, 'waiting');
  assert.equal(calls.filter(call => call.path === '/canary').length, 0);
  await ask('DELETE', `/v1/webhooks/${made.details.id}`, undefined, '*');
  answer = response => response.writeHead(204).end();
});
