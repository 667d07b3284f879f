// RFC 8288 links as http-link-header reads them: following "next" to its end meets
// every row once.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import LinkHeader from 'http-link-header';

const base = process.env.AGEWATCH_BASE;
const headers = { authorization: `Bearer ${process.env.AGEWATCH_KEY}` };

test('links lead through a list to its end, each row once', async () => {
  const whole = await (await fetch(`${base}/v1/part-kinds?limit=500`, { headers })).json();
  const met = [];
  for (let address = `${base}/v1/part-kinds?limit=50`; address; ) {
    const reply = await fetch(address, { headers });
    assert.equal(reply.status, 200);
    const body = await reply.json();
    met.push(...body.items.map(item => item.key));
    const link = reply.headers.get('link');
    const next = link ? LinkHeader.parse(link).rel('next') : [];
    assert.equal(next.length, body.next ? 1 : 0, 'the header and the body agree on whether there is more');
    const onward = next.length ? new URL(next[0].uri, address) : null;
    address = onward && base + onward.pathname + onward.search;
  }

  assert.ok(met.length > 100);
  assert.deepEqual(met, whole.items.map(item => item.key));
});

test('a reply that has not changed is not sent again', async () => {
  const first = await fetch(`${base}/v1/part-kinds/brake-hose-flexible`, { headers });
  const etag = first.headers.get('etag');
  assert.match(etag, /^"[\x21\x23-\x7e]+"$/, 'a strong entity tag (RFC 9110, section 8.8.3)');

  const again = await fetch(first.url, { headers: { ...headers, 'if-none-match': etag } });
  assert.equal(again.status, 304);
  assert.equal(again.headers.get('etag'), etag);
});
