// Every page that a person looks at, in a browser: the HTML standard by html-validate, accessibility by axe-core, dark at
// the width of a phone and light at that of a desk. The pages of the API are those that its own document offers as HTML.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, test } from 'node:test';
import { HtmlValidate } from 'html-validate';
import axe from 'axe-core';
import { simpleParser } from 'mailparser';
import { chromium } from 'playwright-core';

const base = process.env.AGEWATCH_BASE;
const headers = { authorization: `Bearer ${process.env.AGEWATCH_KEY}` };
const folder = join(process.env.AGEWATCH_FILES, 'mail');
const all = await Promise.all(readdirSync(folder).map(name => simpleParser(readFileSync(join(folder, name)))));

// The longest, which is the officer's, one that asks questions, and an ordinary one.
const longest = all.toSorted((a, b) => b.html.length - a.html.length);
const mails = [longest[0], all.find(mail => /\d unknown/.test(mail.subject) && mail !== longest[0]), longest.at(-1)];

const fetched = async address => {
  const reply = await fetch(base + address, { headers: { ...headers, accept: 'text/html' } });
  assert.equal(reply.status, 200, address);
  return reply.text();
};

const stop = new URL(mails[0].headers.get('list').unsubscribe.url).pathname;
// A link leads to the public address, which is not where the demo listens. A vehicle's page is the status list below.
const list = mail => new URL(mail.html.match(/href="(https:\/\/club\.example\/look\/[^"]+)"[^>]*>Everything/)[1]).pathname;
const { paths } = await (await fetch(`${base}/openapi/v1.json`)).json();
const { items: [vehicle] } = await (await fetch(`${base}/v1/vehicles?limit=1`, { headers })).json();
const known = { vehicleId: vehicle.id, '/v1/vehicles/{id}': vehicle.id };
const filled = path => path.replace(/(.*?)\{(\w+)\}/g, (_, before, name) => {
  const value = known[name] ?? known[`${before}{${name}}`];
  assert.ok(value, `${path}: say in pages.mjs what stands for ${name}`);
  return before + value;
});
const offered = Object.entries(paths).filter(([, path]) => path.get?.responses?.[200]?.content?.['text/html']).map(([path]) => path);

const pages = [
  ...mails.map(mail => [`digest: ${mail.subject} to ${mail.to.text}`, async () => mail.html]),
  ['unsubscribe', () => fetched(stop)],
  ['the list, by the link of a digest', () => fetched(list(mails[1]))],
  ['a link that does not open', async () => (await fetch(`${base}/look/half-a-link`)).text()],
  ...offered.map(path => [path, () => fetched(filled(path))]),
];

const validator = new HtmlValidate({ extends: ['html-validate:standard'] });
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--disable-dev-shm-usage'],
});
after(() => browser.close());

// Layout follows the width and colours follow the scheme, so that each of the four is seen once: a look takes seconds.
const looks = [['dark', 320], ['light', 1280]];

for (const [name, load] of pages) {
  test(name, async () => {
    const html = await load();
    const report = await validator.validateString(html);
    assert.deepEqual(report.results.flatMap(result => result.messages.map(m => `${m.line}:${m.column} ${m.ruleId} ${m.message}`)), []);
    for (const [colorScheme, width] of looks) {
      const page = await browser.newPage({ viewport: { width, height: 900 }, colorScheme });
      await page.setContent(html);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      assert.ok(wide <= width, `${wide} wide at ${width}`);
      await page.evaluate(axe.source);
      const { violations } = await page.evaluate(() => window.axe.run(document));
      assert.deepEqual(violations.map(v => `${colorScheme} ${width}: ${v.id} ${v.nodes[0].target} ${v.nodes[0].failureSummary}`), []);
      await page.close();
    }
  });
}
