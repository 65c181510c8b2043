// A sheet beside the machine: ticks and measurements that survive a reload, and the sums of measurement boxes.
// Everything works without it but that.  Sums are whole numbers and fractions throughout: what is dialled is exact.
"use strict";
(() => {
  const KEY = `benchleaf/${document.body.dataset.sheet}`;
  const keepers = new Map([...document.querySelectorAll("[data-keep]")].map((field) => [field.dataset.keep, field]));
  const ticks = [...keepers.values()].filter((field) => field.type === "checkbox");

  // ---- exact arithmetic: [numerator, denominator] with a denominator above nothing
  const fraction = (text) => {
    const [above, below = "1"] = text.split("/");
    return [BigInt(above), BigInt(below)];
  };
  const decimal = (text) => {
    const found = /^\s*(\d{0,9})(?:[.,](\d{0,9}))?\s*$/.exec(text);
    if (!found || !(found[1] || found[2])) return null;
    const places = found[2] || "";
    return [BigInt((found[1] || "") + places || "0"), 10n ** BigInt(places.length)];
  };
  const plus = ([a, b], [c, d]) => [a * d + c * b, b * d];
  const minus = ([a, b]) => [-a, b];
  const less = (one, other) => plus(one, minus(other));
  const times = ([a, b], [c, d]) => [a * c, b * d];
  const over = ([a, b], [c, d]) => (c < 0n ? [-a * d, -b * c] : [a * d, b * c]);
  const sign = ([a]) => (a > 0n ? 1 : a < 0n ? -1 : 0);
  const above = (one, other) => sign(less(one, other)) > 0;
  const absolute = ([a, b]) => [a < 0n ? -a : a, b];
  const floor = ([a, b]) => (a >= 0n ? a / b : -((-a + b - 1n) / b));
  const HALF = [1n, 2n];
  const whole = (value, how) =>
    how === "up" ? -floor(minus(value)) : how === "down" ? floor(value) : floor(plus(value, HALF));
  const shown = (value, places) => {
    const scale = 10n ** BigInt(places);
    const [a, b] = absolute(times(value, [scale, 1n]));
    const digits = ((2n * a + b) / (2n * b)).toString().padStart(places + 1, "0"); // halves away from nothing
    const text = places ? `${digits.slice(0, -places)}.${digits.slice(-places)}` : digits;
    return sign(value) < 0 && /[1-9]/.test(text) ? `\u2212${text}` : text;
  };

  // ---- what a reading calls for; the same steps as benchleaf.sheet.reckon
  const reckon = (rule, reading, now) => {
    const way = rule.grows ? 1n : -1n;
    const left = times(less(rule.target, reading), [way, 1n]);
    if (rule.start && above(left, times(less(rule.target, rule.start), [way, 1n]))) return { kind: "odd" };
    const [near, far] = rule.grows ? [rule.lower, rule.upper] : [rule.upper, rule.lower];
    const short = near && absolute(less(rule.target, near));
    const beyond = far && absolute(less(rule.target, far));
    if (!rule.division) {
      if (sign(left) > 0) return { kind: "cut", amount: times(left, rule.factor), after: rule.target };
      return { kind: above(minus(beyond || [0n, 1n]), left) ? "spoilt" : "done" };
    }
    const worth = over(rule.division, rule.factor);
    if (above(minus(beyond || times(worth, HALF)), left)) return { kind: "spoilt" };
    let count = whole(over(left, worth), rule.rounding);
    if (beyond) {
      const most = floor(over(plus(left, beyond), worth));
      if (most < count) count = most;
    }
    if (count <= 0n) return { kind: above(left, short || times(worth, HALF)) ? "fine" : "done" };
    const amount = times(rule.division, [count, 1n]);
    let shows = null;
    if (now) {
      const sum = rule.down ? less(now, amount) : plus(now, amount);
      shows = less(sum, times(rule.turn, [floor(over(sum, rule.turn)), 1n]));
    }
    return { kind: "cut", amount, after: plus(reading, times(worth, [way * count, 1n])), count, shows };
  };

  // ---- in words
  const many = (count, word) => `${count} ${word}${count === 1n ? "" : "s"}`;
  const wound = (rule, count) => {
    const [a, b] = over(rule.turn, rule.division);
    const per = a / b;
    if (a % b || count < per) return many(count, "division"); // a collar without a whole number of divisions is counted through
    return [many(count / per, "turn"), ...(count % per ? [many(count % per, "division")] : [])].join(" + ");
  };
  const piece = (name, text) => Object.assign(document.createElement(name), { textContent: text });
  const say = (rule, found) => {
    if (found.kind !== "cut") return [piece("b", rule.words[found.kind])];
    const amount = `${shown(found.amount, rule.places)}\u00a0${rule.unit}`;
    const after = `It then measures ${shown(found.after, rule.reads)}\u00a0${rule.readUnit}.`;
    if (!rule.division) return [piece("span", `${rule.words.amount} `), piece("b", amount), piece("span", `. ${after}`)];
    const collar = found.shows ? `, to ${shown(found.shows, rule.places)}` : "";
    return [piece("span", `${rule.words.amount} `), piece("b", wound(rule, found.count) + collar), piece("span", ` (${amount} on the dial). ${after}`)];
  };

  const sums = [...document.querySelectorAll("[data-sum]")].flatMap((box) => {
    const rule = JSON.parse(box.dataset.sum);
    for (const name of ["target", "factor", "lower", "upper", "start", "division", "turn"]) rule[name] = rule[name] && fraction(rule[name]);
    return [...box.querySelectorAll(".reading")].map((room) => {
      const [size, now, answer] = ["input.size", "input.now", "output"].map((what) => room.querySelector(what));
      return () => {
        const reading = decimal(size.value);
        const dial = now && decimal(now.value);
        const unread = (field, value) => field !== null && field.value.trim() !== "" && value === null;
        const off = now && dial && !above(rule.turn, dial); // a collar never reads a whole turn
        size.setAttribute("aria-invalid", String(unread(size, reading)));
        if (now) now.setAttribute("aria-invalid", String(unread(now, dial) || off));
        const said =
          unread(size, reading) || unread(now, dial)
            ? [piece("b", "Not a number: write it like 12.34.")]
            : off
              ? [piece("b", `The dial reads less than ${shown(rule.turn, rule.places)}\u00a0${rule.unit}.`)]
              : reading === null
                ? []
                : say(rule, reckon(rule, reading, dial));
        answer.replaceChildren(...said);
      };
    });
  });

  // ---- what is remembered
  let kept = true;
  let before = null; // what was there when it was cleared
  const look = () => {
    try {
      const found = JSON.parse(localStorage.getItem(KEY) || "{}");
      return found !== null && typeof found === "object" ? found : {};
    } catch {
      return {};
    }
  };
  const keep = (state) => {
    try {
      if (Object.keys(state).length) localStorage.setItem(KEY, JSON.stringify(state));
      else localStorage.removeItem(KEY);
      kept = true;
    } catch {
      kept = false; // the browser keeps nothing for this file: the bar says so
    }
  };
  const read = () => {
    const state = {};
    for (const [name, field] of keepers) {
      if (field.type === "checkbox" ? field.checked : field.value !== "") state[name] = field.type === "checkbox" ? true : field.value;
    }
    return state;
  };
  const write = (state) => {
    for (const [name, field] of keepers) {
      if (field.type === "checkbox") field.checked = state[name] === true;
      else field.value = typeof state[name] === "string" ? state[name] : "";
    }
  };

  // ---- what is seen of it
  const bar = document.getElementById("bar");
  const [status, button] = [bar.querySelector("p"), bar.querySelector("button")];
  const show = () => {
    for (const list of document.querySelectorAll("tbody, ul.checks")) {
      let next = true;
      for (const line of list.children) {
        const box = line.querySelector("input.tick");
        line.classList.toggle("ticked", Boolean(box && box.checked));
        line.classList.toggle("next", Boolean(box && !box.checked && next));
        next = next && !(box && !box.checked);
      }
    }
    for (const work of sums) work();
    const done = ticks.filter((box) => box.checked).length;
    status.textContent = `${done} of ${ticks.length} ticked${kept ? "" : " \u2013 not kept: this browser remembers nothing for this file"}`;
    button.textContent = before ? "Put back" : "Clear all";
    button.disabled = !before && Object.keys(read()).length === 0;
    bar.hidden = keepers.size === 0;
  };

  document.addEventListener("input", (event) => {
    if (!event.target.matches("[data-keep]")) return;
    before = null;
    keep(read());
    show();
  });
  button.addEventListener("click", () => {
    const state = before || {};
    before = before ? null : read();
    write(state);
    keep(state);
    show();
  });
  const steps = bar.querySelector("select");
  if (steps) {
    steps.addEventListener("change", () => {
      const place = document.getElementById(steps.value);
      if (!place) return;
      place.tabIndex = -1;
      place.focus({ preventScroll: true }); // reading and tabbing go on from there
      place.scrollIntoView();
      steps.selectedIndex = 0;
    });
  }
  document.addEventListener("click", (event) => {
    // The whole row is the target: a thumb need not find the square.
    const row = event.target.closest("tr");
    const box = row && row.querySelector("input.tick");
    if (box && event.target !== box && getSelection().isCollapsed) box.click();
  });
  document.addEventListener("keydown", (event) => {
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    const place = ticks.indexOf(event.target);
    if (!step || place < 0 || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    ticks[Math.min(Math.max(place + step, 0), ticks.length - 1)].focus();
  });
  addEventListener("storage", (event) => {
    if (event.key !== KEY && event.key !== null) return;
    write(look()); // ticked in another window
    show();
  });

  write(look());
  show();
})();
