// node ask.js BUILT: the page's engine on its own. Each line of the input is {"files": [[name, text]], "question": {...}}; each line of the
// output {"status", "text", "ms"}. The glue is the page's own (engine.js), read as text, for pages have no modules.
const fs = require('fs'), path = require('path'), vm = require('vm'), readline = require('readline');

const built = process.argv[2];
const glue = fs.readFileSync(path.join(__dirname, '../../engine/web/pages/engine.js'), 'utf8');
const {makeEngine, answerMessage} = vm.runInThisContext(glue + ';({makeEngine, answerMessage})');

(async () => {
  const factory = require(path.join(built, 'leafhunger_web.js'));
  const engine = await makeEngine(factory, fs.readFileSync(path.join(built, 'leafhunger_web.wasm')));
  for await (const line of readline.createInterface({input: process.stdin}))
    process.stdout.write(JSON.stringify(answerMessage(engine, JSON.parse(line))) + '\n');
})().catch(fault => { console.error(fault); process.exit(1); });
