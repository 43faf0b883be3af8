// Compiles the modules and tries those that need no page: npm test.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const web = fileURLToPath(new URL('..', import.meta.url));
// Beside the packages, so that what the modules import is found.
const compiled = mkdtempSync(`${web}node_modules/.compiled-`);
const run = (...words) => spawnSync(process.execPath, words, { cwd: web, stdio: 'inherit', env: { ...process.env, COMPILED: compiled } }).status ?? 1;
try {
  const built = run('node_modules/typescript/bin/tsc', '--noEmit', 'false', '--allowImportingTsExtensions', 'false',
    '--rewriteRelativeImportExtensions', '--module', 'esnext', '--outDir', compiled);
  const tests = readdirSync(`${web}test`).filter(n => n.endsWith('.test.mjs')).map(n => `test/${n}`);
  process.exitCode = built || run('--import', './test/bare.mjs', '--test', ...tests);
} finally {
  rmSync(compiled, { recursive: true, force: true });
}
