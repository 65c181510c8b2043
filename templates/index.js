// Finding a sheet: by thread, machine, operation, or any words; and which sheets have been begun on this device.
// Without it the page is the plain list.
"use strict";
(() => {
  const form = document.getElementById("filter");
  const words = document.getElementById("words");
  const all = document.getElementById("all");
  const count = document.getElementById("count");
  const selects = [...form.querySelectorAll("select")];
  const plain = (text) =>
    text.normalize("NFKD").replace(/\p{M}/gu, "").replace(/\u00d7/g, "x").toLowerCase();
  const lines = [...document.querySelectorAll("#sheets > li")].map((item) => {
    const { digest, ...keys } = JSON.parse(item.dataset.keys);
    return { item, keys, digest, text: plain(item.textContent) };
  });

  const KEY = `benchleaf/contents/${location.pathname}`;
  const stored = (store, key) => {
    try {
      return JSON.parse(store().getItem(key) || "{}") || {};
    } catch {
      return {}; // this browser keeps nothing for files, or something else wrote there
    }
  };

  const asked = () => ({
    words: plain(words.value).split(/\s+/).filter(Boolean),
    ...Object.fromEntries(selects.map((select) => [select.id, select.value])),
  });
  const has = (line, wish) =>
    wish.words.every((word) => line.text.includes(word)) &&
    selects.every(({ id }) => !wish[id] || line.keys[id].includes(wish[id]));

  const show = () => {
    const wish = asked();
    let found = 0;
    for (const line of lines) {
      line.item.hidden = !has(line, wish);
      found += line.item.hidden ? 0 : 1;
    }
    for (const select of selects) {
      // A choice that would leave nothing, given the others, cannot be made.
      const others = lines.filter((line) => has(line, { ...wish, [select.id]: "" }));
      const open = new Set(others.flatMap((line) => line.keys[select.id]));
      for (const option of select.options) option.disabled = option.value !== "" && !open.has(option.value);
    }
    count.textContent = `${found} of ${lines.length} sheets`;
    document.getElementById("none").hidden = found > 0;
    all.disabled = !(words.value || selects.some((select) => select.value));
    try {
      const state = Object.fromEntries([words, ...selects].map((field) => [field.id, field.value]));
      sessionStorage.setItem(KEY, JSON.stringify(state));
    } catch {
      // then coming back begins with everything
    }
  };
  const begun = () => {
    for (const line of lines) {
      const state = stored(() => localStorage, `benchleaf/${line.digest}`);
      const ticked = Object.values(state).filter((value) => value === true).length;
      line.item.querySelector(".begun").textContent = ticked ? `begun: ${ticked} ticked` : "";
    }
  };

  form.addEventListener("input", show);
  form.addEventListener("submit", (event) => event.preventDefault());
  all.addEventListener("click", () => {
    for (const field of [words, ...selects]) field.value = "";
    show();
    words.focus();
  });
  addEventListener("pageshow", () => {
    begun(); // also when coming back from a sheet,
    setTimeout(begun, 500); // whose last tick may still be on its way
  });
  addEventListener("storage", begun);

  const before = stored(() => sessionStorage, KEY);
  for (const field of [words, ...selects]) if (typeof before[field.id] === "string") field.value = before[field.id];
  for (const select of selects) if (select.selectedIndex < 0) select.value = "";
  form.hidden = false;
  begun();
  show();
})();
