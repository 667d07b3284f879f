// The environment that docker-compose.yml gives one service, a NAME=value a line, with the folders and the address of
// this machine in place of the container's. Arguments: SERVICE data=… secrets=… port=…
import { readFileSync } from 'node:fs';
import { parse } from 'yaml';

const [name, ...pairs] = process.argv.slice(2);
const here = Object.fromEntries(pairs.map(pair => pair.split(/=(.*)/s, 2)));
const compose = parse(readFileSync(new URL('../docker-compose.yml', import.meta.url), 'utf8'), { merge: true });
const { environment } = compose.services[name];

for (const [variable, value] of Object.entries(environment)) {
  const moved = String(value)
    .replace(/^\/data$/, here.data)
    .replace(/^\/run\/secrets/, here.secrets)
    .replace(/^http:\/\/0\.0\.0\.0:\d+$/, `http://127.0.0.1:${here.port}`);
  console.log(`${variable}=${moved}`);
}
