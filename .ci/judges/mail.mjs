// The digests of the demo night as other programs see them: read by mailparser, their signature checked by mailauth, the
// headers held to RFC 5322, 2369, 2919, 3834 and 8058, and the one click made.
import assert from 'node:assert/strict';
import { createPublicKey } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'node:test';
import { dkimVerify } from 'mailauth/lib/dkim/verify.js';
import { simpleParser } from 'mailparser';

const base = process.env.AGEWATCH_BASE;
const headers = { authorization: `Bearer ${process.env.AGEWATCH_KEY}` };
const folder = join(process.env.AGEWATCH_FILES, 'mail');
const mails = await Promise.all(readdirSync(folder).filter(name => name.endsWith('.eml')).map(async name => {
  const bytes = readFileSync(join(folder, name));
  return { bytes, mail: await simpleParser(bytes) };
}));

const only = (mail, key) => {
  const lines = mail.headerLines.filter(line => line.key === key);
  assert.equal(lines.length, 1, `${key} once`);
  return lines[0].line.slice(key.length + 1).replace(/\r?\n/g, '').trim();
};

test('there are digests, and no two are the same message', () => {
  assert.ok(mails.length >= 10);
  assert.equal(new Set(mails.map(({ mail }) => mail.messageId)).size, mails.length);
});

test('lines end in CRLF and keep to their length', () => {
  for (const { bytes } of mails) {
    const text = bytes.toString('latin1');
    assert.doesNotMatch(text, /[^\r]\n|\r[^\n]/);
    assert.doesNotMatch(text, /[^\x00-\x7f]/);
    for (const line of text.split('\r\n')) assert.ok(line.length <= 998);
  }
});

test('each goes to one person, says that a program wrote it, and how to stop it', () => {
  for (const { mail } of mails) {
    for (const key of ['from', 'to', 'subject', 'date', 'message-id', 'mime-version']) only(mail, key);
    assert.equal(mail.to.value.length, 1);
    assert.equal(mail.cc ?? mail.bcc, undefined);
    assert.equal(only(mail, 'auto-submitted'), 'auto-generated');
    assert.match(only(mail, 'list-id'), /<[A-Za-z0-9.-]+>$/);
    assert.match(only(mail, 'list-unsubscribe'), /^<https:\/\/club\.example\/unsubscribe\/[A-Za-z0-9_-]{43}>$/);
    assert.equal(only(mail, 'list-unsubscribe-post'), 'List-Unsubscribe=One-Click');
    assert.ok(Date.now() - mail.date.getTime() < 3600_000);
  }
});

test('the text comes first, the HTML last, and both say the same', () => {
  for (const { bytes, mail } of mails) {
    const types = [...bytes.toString('latin1').matchAll(/^Content-Type: (text\/\w+|multipart\/\w+)/gim)].map(match => match[1].toLowerCase());
    assert.deepEqual(types, ['multipart/alternative', 'text/plain', 'text/html']);
    const words = text => text.replace(/\s+/g, ' ');
    const html = words(mail.html.replace(/<style[\s\S]*?<\/style>|<[^>]+>/g, '').replace(/&quot;|&#x22;/g, '"').replace(/&#x27;|&#39;/g, "'").replace(/&amp;/g, '&'));
    const actions = words(mail.text.replace(/^ +/gm, '')).match(/\d+\. [A-Z][^:]*?\. (?=Stop use|Overdue|Unknown|Inspection due|Due soon)/g) ?? [];
    assert.ok(actions.length > 0, mail.subject);
    for (const action of actions) assert.ok(html.includes(action.trim()), action);
  }
});

test('the signature holds, covers what it must and breaks with a changed byte', async () => {
  const key = createPublicKey(process.env.AGEWATCH_DKIM).export({ type: 'spki', format: 'der' }).toString('base64');
  const resolver = async name => {
    assert.equal(name, 'judge._domainkey.club.example');
    return [[`v=DKIM1; k=rsa; p=${key}`]];
  };
  for (const { bytes } of mails) {
    const { results } = await dkimVerify(bytes, { resolver });
    assert.deepEqual(results.map(result => result.status.result), ['pass']);
    assert.match(results[0].signingHeaders.keys.toLowerCase(), /list-unsubscribe: ?list-unsubscribe-post/);
  }
  const changed = Buffer.from(mails[0].bytes.toString('latin1').replace('AgeWatch digest', 'AgeWatch dagest'), 'latin1');
  assert.notEqual((await dkimVerify(changed, { resolver })).results[0].status.result, 'pass');
});

test('looking at the address stops nothing, the click does, and the page undoes it', async () => {
  const { mail } = mails[0];
  const address = base + new URL(only(mail, 'list-unsubscribe').slice(1, -1)).pathname;
  const stopped = async () => {
    const { items } = await (await fetch(`${base}/v1/members?limit=500`, { headers })).json();
    return items.find(member => member.email === mail.to.value[0].address).unsubscribedAt ?? null;
  };
  for (const method of ['GET', 'HEAD']) await fetch(address, { method, redirect: 'error' });
  assert.equal(await stopped(), null);

  const form = new FormData();
  form.append('List-Unsubscribe', 'One-Click');
  for (const body of [form, new URLSearchParams({ 'List-Unsubscribe': 'One-Click' })]) {
    const reply = await fetch(address, { method: 'POST', body, redirect: 'error' });
    assert.equal(reply.status, 200);
    assert.equal(reply.headers.get('set-cookie'), null);
    assert.notEqual(await stopped(), null);
  }

  await fetch(address, { method: 'POST', body: new URLSearchParams({ 'List-Unsubscribe': 'Resume' }) });
  assert.equal(await stopped(), null);
});
