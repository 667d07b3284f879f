// Reads what httpyac says of the tour (--json) and tells it shortly. Fails on a failed check, on an error, on a request
// that was left out, on a request without a check, and when there was no tour at all.
import { readFileSync } from 'node:fs';
import { basename } from 'node:path';

const { requests } = JSON.parse(readFileSync(process.argv[2], 'utf8'));
let passed = 0;
const faults = [];
for (const request of requests) {
  const where = `${basename(request.fileName)}:${request.line} ${request.title ?? request.name ?? ''}`;
  if (!request.testResults?.length) faults.push(`${where}: no check`);
  for (const check of request.testResults ?? []) {
    if (check.status === 'SUCCESS') passed++;
    else faults.push(`${where}: ${check.error?.displayMessage ?? check.message} (${check.status.toLowerCase()})`);
  }
}

console.log(`${requests.length} requests, ${passed} checks passed, ${faults.length} failed`);
for (const fault of faults) console.log(fault);
process.exit(passed > 0 && faults.length === 0 ? 0 : 1);
