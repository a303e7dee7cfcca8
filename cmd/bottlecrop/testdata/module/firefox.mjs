// Opens a sheet in Firefox and works it out for 137 vessels, over WebDriver BiDi (W3C):
// node --experimental-websocket firefox.mjs FIREFOX PROFILE URL. Prints what the page then says as one
// line of JSON.
import { spawn } from "node:child_process";

const [, , firefox, profile, url] = process.argv;
const browser = spawn(firefox, ["--headless", "--no-remote", "--profile", profile, "--remote-debugging-port=0", "about:blank"], { stdio: ["ignore", "ignore", "pipe"] });
const socket = await new Promise((resolve, reject) => {
  let said = "";
  browser.stderr.on("data", text => {
    said += text;
    const address = /WebDriver BiDi listening on (ws:\S+)/.exec(said);
    if (address) resolve(new WebSocket(address[1] + "/session"));
  });
  browser.on("exit", () => reject(new Error("Firefox ended: " + said)));
});
await new Promise((resolve, reject) => { socket.onopen = resolve; socket.onerror = reject; });
let last = 0;
const waiting = new Map();
socket.onmessage = ({ data }) => {
  const answer = JSON.parse(data);
  const done = waiting.get(answer.id);
  if (done) { waiting.delete(answer.id); done(answer); }
};
const ask = async (method, params) => {
  const id = ++last;
  const answer = await new Promise(resolve => {
    waiting.set(id, resolve);
    socket.send(JSON.stringify({ id, method, params }));
  });
  if (answer.type === "error") throw new Error(`${method}: ${answer.message}`);
  return answer.result;
};
try {
  await ask("session.new", { capabilities: {} });
  const { contexts } = await ask("browsingContext.getTree", {});
  const context = contexts[0].context;
  await ask("browsingContext.navigate", { context, url, wait: "complete" });
  const { result, exceptionDetails } = await ask("script.evaluate", {
    target: { context }, awaitPromise: true,
    expression: `(async () => {
      const wait = async (what, done) => { for (let i = 0; i < 6000 && !done(); i++) await new Promise(r => setTimeout(r, 20)); if (!done()) throw new Error("waited in vain for " + what + ": " + document.querySelector("[role=status]").textContent); };
      const field = document.querySelector("h1 input.figure-of-size");
      const began = performance.now();
      field.focus();
      field.dispatchEvent(new FocusEvent("focusin", { bubbles: true })); // a window that nobody sees gets none
      await wait("the module", () => document.body.dataset.ready);
      const ready = performance.now() - began;
      field.value = "137";
      field.dispatchEvent(new Event("input", { bubbles: true }));
      await wait("the sheet", () => document.body.dataset.anew === "n=137");
      const rules = [...document.adoptedStyleSheets].flatMap(sheet => [...sheet.cssRules]).map(rule => rule.cssText).join(" ");
      return JSON.stringify({ ready, focus: document.activeElement === field, title: document.title, rules, kind: document.body.className,
        told: [...document.querySelectorAll("main > section, main > .stations, main dl.which, footer.running-foot")].map(e => e.textContent).join(" ").replace(/\\s+/g, " ").trim() });
    })()`,
  });
  if (exceptionDetails) throw new Error(exceptionDetails.text);
  console.log(result.value);
} finally {
  browser.removeAllListeners("exit");
  browser.kill();
}
process.exit(0);
