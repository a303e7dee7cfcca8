// A sheet for any number of vessels. The number in the heading becomes a field; when
// somebody touches it, the book's module (the program itself, for the browser) is loaded
// and works the sheet out, and the page that it made takes the place of this one. No
// figure is worked out here, and no text is made.
"use strict";

(() => {
  const printed = location.href.replace(/#.*/, "");
  const first = document.querySelector("form.any-size");
  if (!first) return;
  const { module, carried, words, size, count, loading, working, failed } = first.dataset;
  const status = Object.assign(document.createElement("p"), { className: "any-size-status on-screen" });
  status.setAttribute("role", "status");
  document.querySelector("header.running-head").append(status);
  const say = text => { if (status.textContent !== text) status.textContent = text; };
  let links = {};

  // The number in the heading as a field of the form.
  const field = main => {
    const form = main.querySelector("form.any-size");
    const number = main.querySelector("h1 .figure-of-size");
    if (!form || !number || number.localName === "input") return;
    const input = document.createElement("input");
    Object.assign(input, { className: "figure-of-size", name: "n", id: "any-size-n", inputMode: "numeric", maxLength: 7, autocomplete: "off" });
    input.value = input.defaultValue = form.dataset.wanted || number.textContent;
    input.setAttribute("aria-label", count);
    form.id = "any-size";
    input.setAttribute("form", form.id);
    number.replaceWith(input);
    form.hidden = false;
  };

  // What has the focus keeps it, with its caret: it stays, and all around it is replaced.
  const graft = (old, fresh, kept, twin) => {
    if (old === kept) return;
    const at = node => [...node.childNodes].find(child => child.contains(node === old ? kept : twin));
    const [stays, goes] = [at(old), at(fresh)];
    for (const child of [...old.childNodes]) if (child !== stays) child.remove();
    const nodes = [...fresh.childNodes];
    stays.before(...nodes.slice(0, nodes.indexOf(goes)));
    stays.after(...nodes.slice(nodes.indexOf(goes) + 1));
    if (stays !== kept && stays.nodeType === 1) {
      for (const { name, value } of goes.attributes) if (name !== "open" && name !== "hidden") stays.setAttribute(name, value);
    }
    graft(stays, goes, kept, twin);
  };

  // The rule of the paper, with what stands at the foot of each sheet. It is set as a
  // stylesheet object: a style element would need a policy of its own.
  const style = /<style>([^]*?)<\/style>/;
  const paper = rule => {
    const own = document.querySelector("head > style");
    if (own) own.disabled = true;
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(rule);
    document.adoptedStyleSheets = [sheet];
  };

  const show = answer => {
    const page = new DOMParser().parseFromString(answer.page.replace(style, ""), "text/html");
    links = answer.links;
    const main = document.getElementById("main");
    const fresh = document.adoptNode(page.getElementById("main"));
    for (const a of fresh.querySelectorAll("a[href]")) {
      const [file, place] = a.getAttribute("href").split("#");
      if (links[file] !== undefined) a.setAttribute("href", "#" + links[file]);
    }
    const opened = main.querySelector("form.any-size details")?.open;
    field(fresh);
    const more = fresh.querySelector("form.any-size details");
    if (more && opened !== undefined) more.open = opened;
    const kept = main.contains(document.activeElement) && document.activeElement.name ? document.activeElement : null;
    const twin = kept && fresh.querySelector(`[name="${CSS.escape(kept.name)}"]`);
    if (twin) graft(main, fresh, kept, twin);
    else main.replaceChildren(...fresh.childNodes);
    main.className = "";
    for (const part of ["header.running-head > .document-id", "footer.running-foot"]) {
      document.querySelector(part).replaceChildren(...document.adoptNode(page.querySelector(part)).childNodes);
    }
    document.title = page.title;
    document.body.className = page.body.className;
    document.body.dataset.anew = answer.fragment;
    paper(style.exec(answer.page)?.[1] ?? "");
    say(answer.said);
  };

  const script = source => new Promise((resolve, reject) => {
    const element = Object.assign(document.createElement("script"), { src: source, onload: resolve, onerror: reject });
    document.head.append(element);
  });

  const unpacked = async text => {
    const bytes = Uint8Array.from(atob(text), sign => sign.charCodeAt(0));
    return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"))).arrayBuffer();
  };

  let begun;
  const ready = () => begun ??= (async () => {
    say(loading);
    await Promise.all([module, carried, words].filter(Boolean).map(script));
    const go = new Go();
    go.env = { GOGC: "400" }; // less time for its memory, which a sheet needs little of
    const { instance } = await WebAssembly.instantiate(await unpacked(bottlecropModule), go.importObject);
    bottlecropModule = "";
    go.run(instance);
    const text = async packed => new TextDecoder().decode(await unpacked(packed));
    if (words) globalThis.bottlecropWords = await text(bottlecropCatalog);
    const opened = bottlecrop.open(await text(bottlecropCarried), size);
    if (opened.failed) throw new Error(opened.failed);
    say("");
    document.body.dataset.ready = "yes";
    setTimeout(() => bottlecrop.work("n=" + size)); // the first takes longer: let it be nobody's
  })().catch(error => { console.error(error); give(); throw error; });

  // A browser that can't, or a fault of the program's: the printed sizes stay, and the
  // figures of another size do not.
  const give = () => { document.getElementById("main").classList.add("out-of-date"); say(failed); };

  // The address keeps what was asked, so that the way back leads to it.
  const remember = (fragment, replaces) => {
    if (!fragment || location.hash.slice(1) === fragment) return;
    try {
      history[replaces ? "replaceState" : "pushState"](null, "", "#" + fragment);
    } catch {
      // A browser may forbid it for a page from the disk; nothing hangs on it.
    }
  };

  let turn = 0;
  const ask = async (work, text, slow) => {
    const mine = ++turn;
    if (slow) { document.getElementById("main").classList.add("out-of-date"); }
    try {
      await ready();
      if (slow) {
        say(working);
        await new Promise(requestAnimationFrame); // the old figures are struck out first
      }
      await new Promise(done => setTimeout(done)); // the focus is where it goes to
      if (mine !== turn) return;
      const answer = bottlecrop[work](text);
      if (answer.failed) { console.error(answer.failed); give(); return; }
      show(answer);
      if (work === "work") remember(answer.fragment, lately());
    } catch {
      // ready has said it
    }
  };

  // Figures that are typed one after another are one step of the way back.
  let typed = 0;
  const lately = () => { const before = typed; typed = Date.now(); return typed - before < 1500; };

  const read = () => {
    const form = document.querySelector("form.any-size");
    const fields = new URLSearchParams(new FormData(form));
    for (const [name, value] of [...fields]) if (value === "" && name !== "n") fields.delete(name);
    return fields;
  };
  const change = (event, done) => {
    const { name, value, form } = event.target;
    if (!form || !form.matches("form.any-size") || value === "" && !done && event.target.type !== "date") return;
    const fields = read();
    // A number takes the place of what is short, which gave one itself.
    if (name === "n") { fields.delete("short"); fields.delete("have"); }
    if ((name === "short" || name === "have") && !(fields.get("short") && fields.get("have")) && value !== "") return;
    if ((name === "from") && !fields.get("day")) return;
    if (event.target.type === "text" && name !== "n" && !done) return; // a unit is still to come
    ask("work", fields.toString(), name === "air" || fields.get("air") && name.startsWith("m."));
  };

  document.addEventListener("input", event => change(event, false));
  document.addEventListener("change", event => { if (event.target.type === "text") change(event, true); });
  document.addEventListener("focusin", ({ target }) => {
    if (!target.form?.matches?.("form.any-size")) return;
    if (target.name === "n") target.select();
    ready().catch(() => {});
  });
  document.addEventListener("submit", event => { if (event.target.matches("form.any-size")) event.preventDefault(); });
  // A place on this sheet is gone to without leaving its address.
  document.addEventListener("click", event => {
    const href = event.target.closest?.("main a[href^='#']")?.getAttribute("href");
    const place = href && document.body.dataset.anew && document.getElementById(decodeURIComponent(href.slice(1)));
    if (!place) return;
    event.preventDefault();
    place.scrollIntoView();
  });

  // An address that asks for a sheet has a sign of equality before any other.
  const asks = () => /^#(n=|good=|short\.)/.test(location.hash);
  addEventListener("popstate", () => {
    if (asks()) ask("restore", location.hash.slice(1), location.hash.includes("air="));
    else if (document.body.dataset.anew) location.replace(printed);
  });
  field(document.getElementById("main"));
  if (asks()) ask("restore", location.hash.slice(1), true);
})();
