// How an answer is shown.

// make makes an element of attributes and contents.
function make(tag, attributes, ...inside) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes || {})) element.setAttribute(name, value);
  element.append(...inside);
  return element;
}

const spoken = (name) => {
  const text = name.replaceAll("_", " ");
  return text.charAt(0).toUpperCase() + text.slice(1);
};

const isScalar = (v) => v === null || typeof v !== "object";
const notShown = new Set(["units", "used", "warnings", "cautions", "sources", "id"]);

// What the numbers of an answer measure: the document says it of those whose unit goes
// with the request, the end of its name of each other that has one.
const measures = Object.fromEntries(form.dataset.measures.split(" ").map((m) => m.split(":")));
const endings = { pct: "%", degrees: "degrees", hz: "Hz", kg: "kg", m3: "kg/m3" };
let units = {};

// unitsOf gives the units of an answer.
function unitsOf(result) {
  const length = result.units || "in";
  const unpriced = result.used?.boards?.every((board) => board.price === undefined); // so that the cost counts boards
  return { Length: length, Bite: length, Area: "sq " + length, Feed: length + "/min", BladeSpeed: length === "mm" ? "m/min" : "ft/min", Money: unpriced ? "boards" : result.currency || result.price?.currency || "" };
}

const ending = (path) => path.slice(path.lastIndexOf("_") + 1);
const unitOf = (path) => units[measures[path]] || endings[ending(path)] || "";

// called is what a value is called; what its name says of a unit stands beside the value.
function called(path) {
  const name = path.slice(path.lastIndexOf("/") + 1);
  if (ending(path) === "seconds") return spoken(name.replace("seconds", "time"));
  const words = name.replace(/_(pct|degrees|hz|kg|kg_m3)$/, "").replace(/\btpi\b/, "teeth per inch").replace("tpi_", "teeth per inch, ");
  return spoken(words.replace(/(^|_)emc$/, "$1equilibrium moisture").replace(/_sd$/, "_standard_deviation"));
}

// measured tells a value with its unit, or without where that stands over it.
function measured(value, path, unit = unitOf(path)) {
  if (typeof value !== "number") return told(value);
  return ending(path) === "seconds" ? timeOf(value) : digits(value, measures[path]) + (unit && " " + (value === 1 && unit === "boards" ? "board" : unit));
}

// digits writes a number as finely as a person can use it: a length to 0.0001 in or
// 0.001 mm, but with two digits where it is small; money to 0.01, but as it is below 1;
// another with five digits, but whole where it is large.
function digits(value, kind) {
  if (kind === "Money") return String(Math.abs(value) < 1 ? value : Number(value.toFixed(2)));
  const length = kind === "Length" || kind === "Bite";
  const [places, figures] = length ? [units.Length === "mm" ? 3 : 4, 2] : [0, 5];
  const nearest = [value.toFixed(places), value.toPrecision(figures)].map(Number).sort((a, b) => Math.abs(value - a) - Math.abs(value - b))[0];
  return nearest.toLocaleString("en", { useGrouping: false, maximumFractionDigits: 12 });
}

// timeOf tells seconds as a clock does.
function timeOf(seconds) {
  const whole = Math.round(seconds);
  if (whole < 60) return told(seconds) + " s";
  const [h, min, s] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  return (h ? h + " h " : "") + min + " min " + s + " s";
}

// show puts an answer on the page.
function show(result) {
  units = unitsOf(result);
  const parts = [];
  if (isTrue("page")) parts.push(sheetLink());
  if ((result.warnings || []).length) parts.push(make("div", { class: "warn" }, make("h3", {}, "Look at this first"), list(result.warnings.map(worded))));
  parts.push(...sentencesOf(result).map((text) => make("p", { class: "said" }, text)));
  parts.push(...withCautions(partsOf(result, ""), result.cautions || []));
  if ((result.sources || []).length) parts.push(fold("Sources", list(result.sources)));
  parts.push(elsewhere(result));
  parts.push(make("p", { class: "hint" }, "Lengths in " + (result.units === "mm" ? "millimetres" : "inches") + (result.id ? ". ID " + result.id : "") + "."));
  answer.replaceChildren(...parts);
  const title = document.getElementById("answer-title");
  title.focus();
  if (matchMedia("(max-width: 61.99rem)").matches) title.scrollIntoView(); // it stands below the form
}

// saidIn is what a value of an answer says in sentences, if it does.
const saidIn = (name, value) => typeof value === "string" && / .*\.$/.test(value) ? [value] : name === "verdict" && Array.isArray(value) ? value : [];

// sentencesOf finds the sentences of an answer, which say what to do.
function sentencesOf(object) {
  return Object.entries(object).flatMap(([name, value]) => notShown.has(name) ? [] :
    isScalar(value) || Array.isArray(value) ? saidIn(name, value) : sentencesOf(value));
}

// withCautions puts the cautions before the steps that they are for, or last.
function withCautions(parts, cautions) {
  const steps = parts.findIndex((part) => part.tagName === "OL");
  if (cautions.length) parts.splice(steps < 0 ? parts.length : steps - 1, 0, make("h3", {}, "Cautions"), list(cautions));
  return parts;
}

// partsOf shows the fields of an answer, or of the object in it at a path: first the
// single values, then the lists.
function partsOf(object, path) {
  const parts = [], pairs = [];
  const shown = Object.entries(moveFirst(object)).filter(([name, value]) => !saidIn(name, value).length && (path || !notShown.has(name)));
  for (const [name, value] of shown) {
    if (isScalar(value)) pairs.push(make("div", {}, make("dt", {}, called(path + name)), make("dd", { class: name }, measured(value, path + name))));
  }
  if (pairs.length) parts.push(make("dl", {}, ...pairs));
  for (const [name, value] of shown) {
    if (isScalar(value) || (Array.isArray(value) && !value.length)) continue;
    const inside = !Array.isArray(value) ? partsOf(value, path + name + "/") :
      [value.every(isScalar) ? list(value, name === "setup" || name === "per_cut" ? "ol" : "ul") : grid(value, path + name)];
    if (inside.length) parts.push(make("h3", {}, spoken(name)), ...inside);
  }
  return parts;
}

// moveFirst puts how far to turn the dial before anything else.
function moveFirst(object) {
  if (!("whole_turns" in object)) return object;
  const { whole_turns: _, divisions: __, ...rest } = object;
  return { turn_the_dial: moveOf(object), ...rest };
}

// moveOf tells a move of the dial as a hand makes it.
const moveOf = (o) => o.whole_turns + (Math.abs(o.whole_turns) === 1 ? " turn + " : " turns + ") + o.divisions + (o.divisions === 1 ? " division" : " divisions");

// moveInRow tells the move of the dial in one column.
function moveInRow(row) {
  if (!("whole_turns" in row)) return row;
  const { turns, divisions, ...rest } = row;
  return Object.fromEntries(Object.entries(rest).map(([name, value]) => name === "whole_turns" ? ["turn_the_dial", moveOf(row)] : [name, value]));
}

const told = (value) => value === true ? "yes" : value === false ? "no" : value === null ? "-" :
  typeof value === "number" ? String(Number(value.toPrecision(7))) : /^[a-z]+(_[a-z]+)+$/.test(value) ? value.replaceAll("_", " ") : value;
const list = (items, tag) => make(tag || "ul", {}, ...items.map((item) => make("li", {}, told(item))));
const fold = (title, inside) => make("details", {}, make("summary", {}, title), inside);

// grid is a list of objects as a table that scrolls by itself, or, on a narrow screen, as
// a block for each row.
const grid = (rows, path) => make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": called(path) }, tableOf(rows, path + "/"));

// tableOf has the unit of a column over it. Blocks lose the meaning of a table, so that
// its roles are told.
function tableOf(objects, path) {
  const rows = objects.map(moveInRow);
  const columns = [...new Set(rows.flatMap((row) => Object.keys(row)))].filter((c) => c !== "run"); // a request, not for people
  const cell = (value, at) => value === undefined || value?.length === 0 ? "" : isScalar(value) ? measured(value, at, "") : nested(value, at + "/");
  const head = (at) => [called(at), unitOf(at)].filter(Boolean).join(", ");
  const line = (cells) => make("tr", { role: "row" }, ...cells);
  return make("table", { role: "table" },
    make("thead", { role: "rowgroup" }, line(columns.map((c) => make("th", { scope: "col", role: "columnheader" }, head(path + c))))),
    make("tbody", { role: "rowgroup" }, ...rows.map((row) => line(columns.map((c) => make("td", { role: "cell", "data-head": head(path + c) }, cell(row[c], path + c)))))));
}

// nested shows a list or an object in a cell.
function nested(value, path) {
  if (!Array.isArray(value)) return Object.entries(value).map(([name, v]) => called(path + name) + " " + (isScalar(v) ? measured(v, path + name) : JSON.stringify(v))).join(", ");
  if (value.some((entry) => isScalar(entry) || Array.isArray(entry))) return value.map((entry) => isScalar(entry) ? told(entry) : entry.map(told).join(" ")).join("; ");
  return tableOf(value, path);
}

// sheetLink makes a link to the page to print.
function sheetLink() {
  const link = make("a", { class: "open", id: "sheet", href: "#", target: "_blank" }, "Open the sheet to print");
  const [address, init] = requestTo("text/html, application/problem+json", { format: "html" });
  if (!init.method && !key.value) link.href = address;
  else {
    link.addEventListener("click", async (event) => {
      event.preventDefault();
      const opened = window.open("", "_blank");
      const page = await fetch(address, init);
      if (!page.ok) {
        if (opened) opened.close();
        return showMistakes(await page.json());
      }
      const url = URL.createObjectURL(new Blob([await page.text()], { type: "text/html" }));
      if (opened) opened.location = url; else location.assign(url);
    });
  }
  return link;
}

// elsewhere shows how to ask the same in a cell of a spreadsheet and in a shell.
function elsewhere(result) {
  const quoted = (text) => "'" + text.replaceAll("'", "'\\''") + "'";
  const [address, init] = requestTo("application/json");
  const whole = location.origin + address;
  const curl = "curl " + (key.value ? "-H 'Authorization: Bearer KEY' " : "") +
    (init.method ? "-H 'Content-Type: application/json' -d " + quoted(init.body) + " " : "") + quoted(whole);
  const inside = [make("h3", {}, "In a shell"), make("pre", { id: "curl" }, curl)];
  const places = scalarsOf(result, "");
  if (!init.method && places.length) {
    const choice = make("select", { "aria-label": "Value for the cell" }, ...places.map((p) => make("option", {}, p)));
    const formula = make("pre", { id: "cell" });
    const tell = () => { formula.textContent = '=WEBSERVICE("' + location.origin + requestTo("", { pick: choice.value, format: "text", errors: "cell" })[0].replaceAll('"', '""') + '")'; };
    choice.addEventListener("change", tell);
    tell();
    inside.push(make("h3", {}, "In a cell of a spreadsheet"), choice, formula);
  }
  return fold("The same from a spreadsheet or a shell", make("div", {}, ...inside));
}

// scalarsOf lists the places of the single values of an answer, at its top and in its
// objects.
function scalarsOf(object, within) {
  return Object.entries(object).flatMap(([name, value]) => notShown.has(name) || Array.isArray(value) ? [] :
    isScalar(value) ? [within + name] : scalarsOf(value, within + name + "/"));
}
