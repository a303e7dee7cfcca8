// Runs the book's module under Node: node work.mjs MODULE.js QUESTIONS.json. Each question
// names a file with what a book carries, the catalog of its language, the printed size,
// and what to ask. Prints one JSON line for each answer.
import fs from "node:fs";
import vm from "node:vm";
import zlib from "node:zlib";

const [, , module, questions] = process.argv;
vm.runInThisContext(fs.readFileSync(module, "utf8"));
const go = new Go();
const bytes = zlib.gunzipSync(Buffer.from(bottlecropModule, "base64"));
const { instance } = await WebAssembly.instantiate(bytes, go.importObject);
go.run(instance);
let opened = "";
for (const q of JSON.parse(fs.readFileSync(questions, "utf8"))) {
  if (opened !== q.carried) {
    globalThis.bottlecropWords = q.words ? fs.readFileSync(q.words, "utf8") : undefined;
    const { failed } = bottlecrop.open(fs.readFileSync(q.carried, "utf8"), String(q.printed));
    if (failed) throw new Error(failed);
    opened = q.carried;
  }
  const began = performance.now();
  const answer = bottlecrop[q.call](q.text);
  const took = performance.now() - began;
  fs.writeSync(1, JSON.stringify({ ...answer, took }) + "\n");
}
process.exit(0);
