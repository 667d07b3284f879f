// The feeds as others read them: ical.js, csv-parse, and the rules of JSON Feed 1.1.
import assert from 'node:assert/strict';
import { after, test } from 'node:test';
import { parse } from 'csv-parse/sync';
import ICAL from 'ical.js';

const base = process.env.AGEWATCH_BASE;
const headers = { authorization: `Bearer ${process.env.AGEWATCH_KEY}`, 'content-type': 'application/json' };
const made = await fetch(`${base}/v1/feeds`, { method: 'POST', headers, body: JSON.stringify({ name: 'Judge; a, b\\c' }) });
assert.equal(made.status, 201);
const feed = await made.json();
const path = address => base + new URL(address).pathname;
after(() => fetch(`${base}/v1/feeds/${feed.details.id}`, { method: 'DELETE', headers: { ...headers, 'if-match': '*' } }));

const due = [];
for (let address = `${base}/v1/due?limit=500`; address; ) {
  const page = await (await fetch(address, { headers })).json();
  due.push(...page.items);
  address = page.next ? base + new URL(page.next).pathname + new URL(page.next).search : null;
}

const read = async kind => {
  const reply = await fetch(path(feed.calendar) + (kind ? `?kind=${kind}` : ''));
  assert.equal(reply.status, 200);
  assert.equal(reply.headers.get('content-type'), 'text/calendar; charset=utf-8');
  const bytes = Buffer.from(await reply.arrayBuffer());
  return { etag: reply.headers.get('etag'), bytes, calendar: new ICAL.Component(ICAL.parse(bytes.toString('utf8'))) };
};

test('ical.js reads every event of the calendar', async () => {
  const { bytes, calendar } = await read();
  for (const line of bytes.toString('latin1').split('\r\n')) assert.ok(line.length <= 75 && !line.includes('\n'));
  assert.equal(calendar.getFirstPropertyValue('version'), '2.0');
  // ical.js does not know NAME of RFC 7986 and leaves its text escaped (RFC 5545, 3.3.11).
  assert.equal(calendar.getFirstPropertyValue('name'), 'Judge\\; a\\, b\\\\c');
  assert.equal(calendar.getFirstPropertyValue('method'), null);
  assert.equal(calendar.getFirstPropertyValue('refresh-interval').toString(), 'PT12H');
  const events = calendar.getAllSubcomponents('vevent').map(component => new ICAL.Event(component, { strictExceptions: true }));
  assert.ok(events.length > 100);
  assert.equal(new Set(events.map(event => event.uid)).size, events.length);
  for (const event of events) {
    assert.ok(event.startDate.isDate, 'an all-day event');
    assert.ok(Number.isInteger(event.sequence) && event.sequence >= 0);
    assert.equal(event.component.getFirstPropertyValue('transp'), 'TRANSPARENT');
    const stamp = event.component.getFirstPropertyValue('dtstamp');
    assert.equal(stamp.toString(), event.component.getFirstPropertyValue('last-modified').toString());
    assert.ok(stamp.zone === ICAL.Timezone.utcTimezone && stamp.toJSDate() <= new Date());
    assert.ok(event.summary && event.description.includes('Local codes and licensed practice take precedence.'));
  }

  // What nothing can be told of stands on the day since when; only what never comes due has no entry.
  const shown = due.filter(row => row.dueEarliest || row.state !== 'in-life');
  assert.deepEqual(events.map(event => event.startDate.toString()).toSorted(), shown.map(row => row.dueEarliest ?? row.since).toSorted());
});

test('ical.js reads every task of the same calendar', async () => {
  const { calendar } = await read('todo');
  const todos = calendar.getAllSubcomponents('vtodo');
  assert.ok(todos.length > 100);
  for (const todo of todos) assert.ok(todo.getFirstPropertyValue('uid') && (todo.getFirstPropertyValue('due')?.isDate ?? true));
  assert.equal(todos.filter(todo => todo.getFirstPropertyValue('due')).length, due.filter(row => row.dueEarliest).length);
});

test('the bytes stay the same while nothing changes, and who has them is told so', async () => {
  const first = await read();
  const second = await read();
  assert.ok(first.bytes.equals(second.bytes));
  const again = await fetch(path(feed.calendar), { headers: { 'if-none-match': first.etag } });
  assert.equal(again.status, 304);
  assert.equal((await again.arrayBuffer()).byteLength, 0);
});

test('a renamed car raises the sequence of its entries and of no other', async () => {
  const before = await read();
  const { items: [vehicle] } = await (await fetch(`${base}/v1/vehicles?limit=1`, { headers })).json();
  const rename = name => fetch(`${base}/v1/vehicles/${vehicle.id}`, {
    method: 'PATCH', headers: { ...headers, 'content-type': 'application/merge-patch+json', 'if-match': '*' }, body: JSON.stringify({ name }),
  });
  assert.equal((await rename('Renamed; by, the \\judge')).status, 200);
  const sequences = calendar => new Map(calendar.getAllSubcomponents('vevent').map(event =>
    [event.getFirstPropertyValue('uid'), [event.getFirstPropertyValue('summary'), event.getFirstPropertyValue('sequence')]]));
  const old = sequences(before.calendar);
  const now = sequences((await read()).calendar);
  assert.deepEqual([...now.keys()].toSorted(), [...old.keys()].toSorted());
  let raised = 0;
  for (const [uid, [summary, sequence]] of now) {
    const isRenamed = summary.startsWith('Renamed; by, the \\judge: ');
    raised += isRenamed;
    assert.equal(sequence, old.get(uid)[1] + (isRenamed ? 1 : 0));
  }
  assert.ok(raised > 0);
  await rename(vehicle.name);
});

test('the JSON feed keeps the rules of version 1.1', async () => {
  const reply = await fetch(path(feed.json));
  assert.match(reply.headers.get('content-type'), /^application\/feed\+json/);
  const json = await reply.json();
  assert.equal(json.version, 'https://jsonfeed.org/version/1.1');
  assert.equal(json.title, 'Judge; a, b\\c');
  assert.equal(new Set(json.items.map(item => item.id)).size, json.items.length);
  for (const item of json.items) {
    assert.equal(typeof item.id, 'string');
    assert.ok(item.content_text.length > 0);
    assert.match(item.date_modified, /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}Z$/);
    assert.match(item._agewatch.due_on ?? item._agewatch.unknown_since, /^\d{4}-\d{2}-\d{2}$/);
  }
});

test('csv-parse reads the table, and it says what the list says', async () => {
  const reply = await fetch(path(feed.csv));
  assert.match(reply.headers.get('content-type'), /^text\/csv/);
  const rows = parse(await reply.text(), { columns: true, record_delimiter: '\r\n', relax_column_count: false });
  const line = row => [row.state, row.certainty, row.hazard, row.due_earliest ?? row.dueEarliest ?? ''].join(' ');
  assert.ok(rows.length > 100);
  assert.deepEqual(rows.map(line).toSorted(), due.map(line).toSorted());
});

test('every line is a JSON value, and they say what the list says', async () => {
  const reply = await fetch(path(feed.lines));
  assert.match(reply.headers.get('content-type'), /^application\/x-ndjson/);
  const text = await reply.text();
  assert.ok(text.endsWith('\n'));
  const line = row => [row.partKind, row.state, row.certainty, row.hazard, row.dueEarliest ?? ''].join(' ');
  assert.deepEqual(text.trimEnd().split('\n').map(JSON.parse).map(line).toSorted(), due.map(line).toSorted());
});

test('no feed tells who owns what', async () => {
  const { items } = await (await fetch(`${base}/v1/members?limit=500`, { headers })).json();
  for (const address of [feed.calendar, feed.json, feed.csv, feed.lines]) {
    const text = await (await fetch(path(address))).text();
    for (const member of items) assert.ok(!text.includes(member.name) && !(member.email && text.includes(member.email)));
  }
});
