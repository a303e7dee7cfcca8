// The search of the book. It asks nobody: what it looks through is
// search-index.js, which lies beside the page and was loaded before this.
"use strict";

(() => {
  const field = document.getElementById("look-for");
  const count = document.getElementById("found-count");
  const list = document.getElementById("found-list");
  const ready = count.textContent;
  const shown = Number(count.dataset.shown);

  // "CO₂", "Co2" and "co2" are one word, and so are "Pleurotus" and "pleurótus".
  const fold = text => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
  const split = text => fold(text).match(/[\p{L}\p{N}]+/gu) ?? [];

  // A word of the query fits the beginning of a word, and its plural the word.
  const fits = (wanted, words) => {
    const one = wanted.length > 3 && wanted.endsWith("s") ? wanted.slice(0, -1) : wanted;
    return words.some(word => word.startsWith(wanted) || word === one);
  };

  const pages = searchIndex.pages.map(({ title, words }) => ({ title, words: split(title + " " + words) }));
  const entries = searchIndex.entries.map((entry, order) =>
    ({ ...entry, order, name: fold(entry.title), titleWords: split(entry.title), allWords: entry.words.split(" ").map(fold) }));

  // How well an entry fits, the lower the better, or -1 where a word is missing.
  // The title counts first: all of it, its beginning, all words in it, the more the
  // better.
  const rank = (entry, wanted, pageWords) => {
    const missing = wanted.filter(word => !fits(word, entry.titleWords));
    if (!missing.every(word => fits(word, entry.allWords) || fits(word, pageWords))) return -1;
    if (missing.length === 0) {
      if (wanted.join(" ") === entry.titleWords.join(" ")) return 0;
      return fits(wanted[0], entry.titleWords.slice(0, 1)) ? 1 : 2;
    }
    return 2 + missing.length;
  };

  // What is found: one result for each title, with the pages that fit.
  const find = query => {
    const wanted = split(query);
    if (wanted.length === 0) return null;
    const byTitle = new Map();
    for (const entry of entries) {
      for (const [page, href] of entry.places) {
        const points = rank(entry, wanted, pages[page].words);
        if (points < 0) continue;
        const key = entry.kind + " " + entry.name;
        const result = byTitle.get(key) ?? { entry, points, places: [] };
        result.points = Math.min(result.points, points);
        result.places.push({ href, title: pages[page].title });
        byTitle.set(key, result);
      }
    }
    return [...byTitle.values()].sort((a, b) =>
      a.points - b.points || a.entry.kind - b.entry.kind || a.entry.order - b.entry.order);
  };

  const element = (name, className, text) => {
    const made = document.createElement(name);
    made.className = className;
    // The font has no subscript 2.
    text.split(/(?<=CO)[2₂]/).forEach((part, i) => {
      if (i > 0) made.append(Object.assign(document.createElement("sub"), { textContent: "2" }));
      made.append(part);
    });
    return made;
  };

  const link = (className, place, text) => {
    const made = element("a", className, text);
    made.href = place.href;
    return made;
  };

  const row = ({ entry, places }) => {
    const item = element("li", "found-one", "");
    const { name, named } = searchIndex.kinds[entry.kind];
    const kind = element("p", "found-kind", name);
    const body = element("div", "found-body", "");
    const [first, ...more] = places;
    if (more.length === 0) {
      const title = link("found-title", first, entry.title);
      if (named) title.append(" ", element("span", "found-page", first.title));
      body.append(title);
    } else {
      body.append(element("p", "found-title", entry.title));
    }
    if (entry.text) body.append(element("p", "found-text", entry.text));
    if (more.length > 0) {
      const where = element("ul", "found-places", "");
      where.append(...places.map(place => {
        const one = element("li", "", "");
        one.append(link("", place, place.title));
        return one;
      }));
      body.append(where);
    }
    item.append(kind, body);
    return item;
  };

  const show = () => {
    const found = find(field.value);
    list.replaceChildren(...(found ?? []).slice(0, shown).map(row));
    count.textContent = say(found);
  };

  const say = found => {
    if (found === null) return ready;
    const { none, one, some, many } = count.dataset;
    const sentence = [none, one][found.length] ?? (found.length > shown ? many : some);
    return sentence.replace("#", found.length);
  };

  // The address keeps what was asked, so that the way back leads to it.
  const remember = () => {
    try {
      history.replaceState(null, "", field.value ? "?q=" + encodeURIComponent(field.value) : location.pathname);
    } catch {
      // A browser may forbid it for a page from the disk; nothing hangs on it.
    }
  };

  let waiting;
  field.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(() => { show(); remember(); }, 120);
  });
  field.form.addEventListener("submit", event => {
    event.preventDefault();
    clearTimeout(waiting);
    show();
    remember();
  });
  field.value = new URLSearchParams(location.search).get("q") ?? "";
  show();
})();
