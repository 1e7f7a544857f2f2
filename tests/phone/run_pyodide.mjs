// Runs the suite of the rooms that live on the phone inside Pyodide (CPython in WebAssembly), under node.
//
//   node tests/phone/run_pyodide.mjs [pytest arguments]
//
// The checkout is mounted, not copied. Wheels come from build/phone-wheels (`make phone` fetches them).
// Exit code: pytest's own; 1 as well if no test passed or a room has no tests.
import { loadPyodide } from 'pyodide';
import fs from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const ROOMS = ['physics', 'measure', 'visit', 'trade', 'plan', 'judge', 'store'];
const checkout = path.resolve(path.dirname(fileURLToPath(import.meta.url)), '../..');
const wheels = path.join(checkout, 'build', 'phone-wheels');

const began = performance.now();
const say = (text) => console.log(`[${((performance.now() - began) / 1000).toFixed(1)} s] ${text}`);

// An error's own text is enough: node would print the line it came from, and Pyodide's is a megabyte long.
process.on('uncaughtException', (error) => {
  console.error(String(error?.message ?? error).slice(0, 4000));
  process.exit(1);
});

const archives = fs.readdirSync(wheels).filter((name) => name.endsWith('.whl'));
if (archives.length === 0) throw new Error('build/phone-wheels holds no wheel: run `make phone`');

const gated = process.env.CI ?? '';
const phone = await loadPyodide({ env: { HOME: '/home/pyodide', PYTHONDONTWRITEBYTECODE: '1', CI: gated } });
for (const name of archives) {
  phone.unpackArchive(new Uint8Array(fs.readFileSync(path.join(wheels, name))), 'wheel', { extractDir: '/wheels' });
};
phone.FS.mkdirTree('/checkout');
phone.FS.mount(phone.FS.filesystems.NODEFS, { root: checkout }, '/checkout');
say(`${phone.runPython('import sys; sys.version.split()[0]')} in WebAssembly, ${archives.length} wheels`);

phone.globals.set('rooms', phone.toPy(ROOMS));
phone.globals.set('extra', phone.toPy(process.argv.slice(2)));
const [code, passed] = phone.runPython(`
import os, pathlib, sys
os.chdir('/checkout')
sys.path[:0] = ['/checkout/src', '/wheels']
import pytest

class Counter:
    passed = 0
    def pytest_runtest_logreport(self, report):
        self.passed += report.when == 'call' and report.passed

places = [f'tests/{room}' for room in rooms]
untested = [place for place in places if not list(pathlib.Path(place).glob('test_*.py'))]
counter = Counter()
if untested:
    print('no tests in', ', '.join(untested))
    code = 1
else:
    code = int(pytest.main(['-q', '-p', 'no:cacheprovider', *places, *extra], plugins=[counter]))
(code, counter.passed)
`).toJs();
say(`${passed} tests passed inside Pyodide, exit code ${code}`);
process.exitCode = code !== 0 ? code : passed > 0 ? 0 : 1;
