// The search of a printed book. It reads what words.js holds and nothing else; what it shows
// goes into the page as text, never as HTML.
"use strict";
(function () {
  const MOST = 30;
  const SPELT = { "\u00b5": "u", "\u03bc": "u", "\u03a9": "ohm", "\u2126": "ohm", "\u2019": "'" };

  function folded(text) {
    const plain = text.replace(/[\u00b5\u03bc\u03a9\u2126\u2019]/g, (one) => SPELT[one])
      .toLowerCase().normalize("NFKD").replace(/\p{M}/gu, "").replace(/'/g, "");
    return plain.match(/[a-z0-9]+(?:\.[0-9]+)*/g) || [];
  }

  function stem(word) {
    if (/\d/.test(word) || word.length < 4) return word;
    const short = word.replace(/ies$/, "y").replace(/(ss|x|ch|sh)es$/, "$1")
      .replace(/([^su])s$/, "$1").replace(/(.{3})(?:ing|ed)$/, "$1").replace(/(.{3})e$/, "$1");
    return short.replace(/([^aeiouls])\1$/, "$1");
  }

  // One letter more, less, other or changed with its neighbour.
  function near(one, other) {
    if (Math.abs(one.length - other.length) > 1 || one === other) return false;
    let at = 0;
    while (at < one.length && one[at] === other[at]) at += 1;
    const rest = one.slice(at), last = other.slice(at);
    return rest.slice(1) === last.slice(1) || rest.slice(1) === last || rest === last.slice(1) ||
      (rest.slice(2) === last.slice(2) && rest[0] === last[1] && rest[1] === last[0]);
  }

  const every = Object.keys(BOOK.words);
  const stems = new Map();
  for (const word of every) {
    const short = stem(word);
    if (!stems.has(short)) stems.set(short, []);
    stems.get(short).push(word);
  }

  // The book's words that one typed word finds, each with how far it counts.
  function matches(word, isLast) {
    const found = new Map();
    for (const other of stems.get(stem(word)) || []) found.set(other, other === word ? 1 : 0.85);
    if (isLast && word.length > 2 || !found.size && word.length > 3) {
      for (const other of every) {
        if (!found.has(other) && other.startsWith(word)) found.set(other, 0.6);
      }
    }
    if (!found.size && word.length > 3) {
      for (const other of every) if (near(word, other)) found.set(other, 0.5);
    }
    return found;
  }

  // What else says the same: groups that find each other, and words that find others.
  function others(words) {
    const typed = " " + words.join(" ") + " ";
    const more = [];
    for (const group of BOOK.same) {
      if (group.some((one) => one && typed.includes(" " + one + " "))) more.push(...group);
    }
    for (const [word, found] of Object.entries(BOOK.finds)) {
      if (word && typed.includes(" " + word + " ")) more.push(...found);
    }
    return more.filter((one) => one && !typed.includes(" " + one + " ")).slice(0, 40);
  }

  function add(scores, word, isLast, share, counted) {
    const best = new Map();
    for (const [other, far] of matches(word, isLast)) {
      const list = BOOK.words[other];
      for (let at = 0; at < list.length; at += 2) {
        const worth = list[at + 1] * far * share;
        if (worth > (best.get(list[at]) || 0)) best.set(list[at], worth);
      }
    }
    for (const [page, worth] of best) {
      const score = scores.get(page) || { worth: 0, words: 0 };
      score.worth += worth;
      score.words += counted;
      scores.set(page, score);
    }
  }

  function search(text) {
    const words = [...new Set(folded(text))];
    const scores = new Map();
    words.forEach((word, at) => add(scores, word, at === words.length - 1, 1, 1));
    for (const phrase of others(words)) {
      const parts = phrase.split(" ");
      for (const part of parts) add(scores, part, false, 0.5 / parts.length, 0);
    }
    const worth = (score) => score.worth * (0.5 + 0.5 * score.words / words.length);
    return [...scores].map(([page, score]) => [page, worth(score)])
      .sort((one, other) => other[1] - one[1] || one[0] - other[0]).slice(0, MOST);
  }

  const typed = document.getElementById("words");
  const told = document.getElementById("told");
  const hits = document.getElementById("hits");

  function show() {
    hits.replaceChildren();
    if (!typed.value.trim()) {
      told.textContent = "";
      return;
    }
    const found = search(typed.value);
    told.textContent = found.length ? "" : "Nothing found. Try other words, or the contents below.";
    for (const [page] of found) {
      const [id, title, place] = BOOK.pages[page];
      const item = document.createElement("li");
      const link = document.createElement("a");
      link.href = "sheets/" + encodeURIComponent(id) + ".html";
      link.textContent = title;
      const under = document.createElement("p");
      under.className = "under";
      under.textContent = place;
      item.append(link, under);
      hits.append(item);
    }
  }

  typed.addEventListener("input", show);
  show();
})();
