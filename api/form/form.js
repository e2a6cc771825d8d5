// What a form does beyond what a browser does by itself: it asks its calculator
// without leaving the page, shows the answer, puts each mistake beside its field
// and follows a search.
"use strict";

const form = document.getElementById("form");
const answer = document.getElementById("answer");
const trouble = form.querySelector(".trouble");
const lock = document.getElementById("lock");
const key = document.getElementById("key");
const isTrue = (name) => form.dataset[name] === "true";

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

// What is filled in.

const filled = () => [...form.elements].filter((e) => e.name && e.value.trim() !== "");
const fields = () => filled().filter((e) => !("table" in e.dataset));
const tables = () => filled().filter((e) => "table" in e.dataset);
const asBody = () => isTrue("post") || tables().length > 0;

// spaced parts values by spaces that were parted by commas with spaces.
const spaced = (text) => text.replace(/,(?=\s|$)/g, " ").trim().split(/\s+/).join(" ");

// listsOf are the lists in a field for lists of values: a line each, or parted by
// semicolons.
const listsOf = (text) => text.split(/[;\n]/).map(spaced).filter(Boolean);
const textOf = (e) => e.dataset.kind === "lists" ? pointed(listsOf(e.value).join(";")) : written(bare(e.value.trim(), e.name), e.dataset.kind);

// bare leaves out the unit that the name of a field tells anyway: 12 % or 70 °F.
const bare = (text, name) => name.endsWith("_pct") ? text.replace(/\s*%$/, "") :
  /(^|_)temperature_[cf]$/.test(name) ? text.replace(new RegExp("\\s*°?\\s*" + name.at(-1) + "?$", "i"), "") : text;

// written is a text as the service reads one of its kind.
const written = (text, kind) => kind === "list" ? pointed(spaced(text)) : ["length", "number"].includes(kind) ? pointed(text) : text;

// plain is a text with the marks of a keyboard in place of those of a printer, and without
// the point of an abbreviated unit.
const plain = (text) => text.replaceAll("\u2044", "/").replace(/['\u2018\u2019]{2}/g, '"').replace(/(\d)\s*[\u2010-\u2014]\s*(?=\d)/g, "$1-").replace(/([a-z])\.(?=\s|;|$)/gi, "$1");

// pointed makes a decimal point of a decimal comma. One before just three digits may part
// thousands: it stays, and the service refuses it.
const pointed = (text) => plain(text).replace(/(?<![\d.,])(\d*),(\d+)(?![\d.,])/g, (all, whole, part) =>
  part.length === 3 && Number(whole) ? all : whole + "." + part);

// queryOf writes what is filled in as a query.
function queryOf(more) {
  const query = new URLSearchParams();
  for (const e of fields()) query.set(e.name, textOf(e));
  for (const [name, value] of Object.entries(more || {})) query.set(name, value);
  return query.toString().replaceAll("+", "%20");
}

// typed turns a text into a JSON value of a kind. What is not of that kind stays as it
// was written, so that the service says what is wrong with it.
function typed(text, kind) {
  if (kind.includes("=")) return objectsOf(text, kind);
  if (kind === "list") return pointed(text).split(/\s+/);
  if (kind === "lists") return listsOf(text).map((l) => l.split(" "));
  if (kind === "truth") return { true: true, false: false }[text.toLowerCase()] ?? text;
  text = written(text, kind);
  return ["number", "whole"].includes(kind) && text !== "" && Number.isFinite(Number(text)) ? Number(text) : text;
}

// bodyOf writes what is filled in as a body.
function bodyOf() {
  const body = {};
  for (const e of fields()) {
    const path = e.dataset.json.split(".");
    let at = body;
    for (const step of path.slice(0, -1)) at = at[step] = at[step] || {};
    at[path.at(-1)] = typed(textOf(e), e.dataset.kind || "text");
  }
  for (const e of tables()) body[e.name] = entriesOf(e);
  return body;
}

// entriesOf reads the entries of a pasted table.
function entriesOf(area) {
  const { names, rows } = rowsOf(area);
  const kinds = columnsOf(area);
  return rows.map(({ cells }) => {
    const entry = {};
    cells.forEach((cell, i) => {
      if (cell !== "") entry[names[i] || "column " + (i + 1)] = typed(bare(cell, names[i] || ""), kinds[names[i]] || "text");
    });
    return entry;
  });
}

const columnsOf = (area) => Object.fromEntries(area.dataset.table.split(" ").map((c) => c.split(":")));

// rowsOf splits a pasted table into rows of cells, each with the number of its line. The
// first line names the columns; without such a line they stand in the order of the form.
function rowsOf(area) {
  const kinds = columnsOf(area);
  const lines = area.value.split("\n").map((text, i) => ({ text, line: i + 1 })).filter((l) => l.text.trim() !== "");
  const mark = ["\t", ";", ","].find((m) => lines[0].text.includes(m)) || "\t";
  const rows = lines.map(({ text, line }) => ({ line, cells: cellsOf(text, mark) }));
  const named = rows[0].cells.every((c) => c === "" || kinds[c.toLowerCase().replaceAll(" ", "_")]);
  const names = named ? rows.shift().cells.map((c) => c.toLowerCase().replaceAll(" ", "_")) : Object.keys(kinds);
  const last = names.length - 1;
  if (mark === ";" && kinds[names[last]]?.startsWith("list/")) { // whose objects are separated by semicolons too
    for (const { cells } of rows) cells.splice(last, Infinity, cells.slice(last).join(";"));
  }
  return { names, rows };
}

// objectsOf reads a list of objects, or one, in a cell: the values of each separated by
// spaces, objects by semicolons; where the first is a word, it may have spaces.
function objectsOf(text, kind) {
  const fields = kind.split("/").slice(1).map((f) => f.split("="));
  const object = (part) => {
    const words = part.trim().split(/\s+/);
    const more = fields[0][1] === "text" ? Math.max(0, words.length - fields.length) : 0;
    words.splice(0, more + 1, words.slice(0, more + 1).join(" "));
    return Object.fromEntries(words.map((word, i) => [fields[i]?.[0] || "value " + (i + 1), typed(word, fields[i]?.[1] || "text")]));
  };
  return kind.startsWith("one/") ? object(text) : text.replace(/;\s*$/, "").split(";").map(object);
}

// cellsOf splits a line; a cell that begins with a quote may contain the separator, and
// two quotes for one. In another a quote means inches.
function cellsOf(line, mark) {
  const cells = [];
  let cell = "", quoted = false;
  const text = line.replace(/\r$/, "");
  for (let i = 0; i < text.length; i++) {
    const c = text[i];
    if (quoted && c === '"' && text[i + 1] === '"') cell += text[++i];
    else if (c === '"' && (quoted || cell.trim() === "")) quoted = !quoted;
    else if (c === mark && !quoted) { cells.push(cell.trim()); cell = ""; } else cell += c;
  }
  cells.push(cell.trim());
  return cells;
}

// requestTo returns the arguments of fetch.
function requestTo(accept, more) {
  const headers = { Accept: accept };
  if (key.value) headers.Authorization = "Bearer " + key.value.trim();
  if (!asBody()) return [form.getAttribute("action") + "?" + queryOf(more), { headers }];
  const query = more ? "?" + new URLSearchParams(more) : "";
  headers["Content-Type"] = "application/json";
  return [form.getAttribute("action") + query, { method: "POST", headers, body: JSON.stringify(bodyOf()) }];
}

// Mistakes.

function clearMistakes() {
  trouble.hidden = true;
  for (const e of form.elements) {
    const place = document.getElementById("e-" + e.name);
    if (!place) continue;
    e.removeAttribute("aria-invalid");
    place.hidden = true;
    place.textContent = "";
  }
}

// fieldOf finds the field that a mistake is about, by its name in a query or where it
// stands in a body, and where in the field it is: in a list, in a table, or, of an
// object that has several fields, at the first of them.
function fieldOf(mistake) {
  const steps = stepsOf(mistake);
  const named = [...form.elements].filter((e) => e.name);
  const called = (e) => mistake.parameter ? e.name : e.dataset.json || e.name;
  for (let n = steps.length; n > 0; n--) {
    const field = named.find((e) => called(e) === steps.slice(0, n).join("."));
    if (field) return [field, placeIn(field, steps.slice(n))];
  }
  return [named.find((e) => called(e).startsWith(steps[0] + (mistake.parameter ? "_" : "."))), ""];
}

const stepsOf = (mistake) => mistake.parameter ? mistake.parameter.split(".") : (mistake.pointer || "").split("/").slice(1);

// placeIn tells a place in a field as a person counts, a table's lines as they stand.
function placeIn(field, steps) {
  if (!steps.length) return "";
  const counted = steps.map((s) => /^\d+$/.test(s) ? String(Number(s) + 1) : s.replaceAll("_", " "));
  if (!("table" in field.dataset)) return field.dataset.kind === "lists" ? "line " + counted.join(", value ") + ": " : "value " + counted[0] + ": ";
  const row = rowsOf(field).rows[Number(steps[0])];
  return "line " + (row ? row.line : counted[0]) + (steps[1] ? ", " + counted.slice(1).join(" ") : "") + ": ";
}

// worded calls the fields of this form, in what the service says, as their labels do, and
// other names as people say them. What helps others with commas is left out: a form reads
// those that it can.
const worded = (text) => text.replace(", or set decimal to comma", "").replace("/v1/", "").replace(/\b[a-z]+([._][a-z0-9]+)+\b/g, (name) => {
  const field = [...form.elements].find((e) => e.name && (e.name === name || e.dataset.json === name));
  return field ? field.labels[0].firstChild.textContent.trim() : name.replaceAll("_", " ");
});

function showMistakes(problem) {
  const rest = [];
  let first = null;
  for (const mistake of problem.errors || []) {
    const [field, where] = fieldOf(mistake);
    const place = field && document.getElementById("e-" + field.name);
    if (!place) { rest.push([...stepsOf(mistake), worded(mistake.detail)].join(" ")); continue; }
    place.textContent = [place.textContent, where + worded(mistake.detail)].filter(Boolean).join("\n");
    place.hidden = false;
    field.setAttribute("aria-invalid", "true");
    first = first || field;
  }
  if (!first) {
    trouble.textContent = rest.join(" ") || worded(problem.detail || problem.title);
    trouble.hidden = false;
  }
  if (first) {
    const inside = first.closest("details");
    if (inside) inside.open = true;
    first.focus();
  }
  answer.replaceChildren(make("p", { class: "hint" }, first ? "Something in the form needs attention." : "There is no answer."));
}

// The answer.

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
  const unpriced = result.used?.boards?.every((board) => board.price === 1); // so that the cost counts boards
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
// 0.001 mm, but with two digits where it is small; money as it is; another with five
// digits, but whole where it is large.
function digits(value, kind) {
  if (kind === "Money") return String(value);
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

// Asking.

let asked = null;

async function ask() {
  clearMistakes();
  if (asked) asked.abort();
  asked = new AbortController();
  const here = asked;
  answer.setAttribute("aria-busy", "true");
  try {
    const [address, init] = requestTo(isTrue("events") ? "text/event-stream, application/problem+json" : "application/json");
    const response = await fetch(address, { ...init, signal: here.signal });
    const type = response.headers.get("Content-Type") || "";
    if (type.startsWith("text/event-stream")) await follow(response.body);
    else if (response.ok) show(await response.json());
    else showMistakes(await response.json());
    askForKey(response.status === 401);
    remember();
  } catch (error) {
    if (here.signal.aborted) return;
    showMistakes({ detail: "The service cannot be reached, or its answer broke off. Is it running, and are you in its network?" });
  } finally {
    if (asked === here) answer.removeAttribute("aria-busy");
  }
}

// askForKey shows the field for a key once the service asks for one, and keeps a key
// that the service has accepted, for this tab only.
function askForKey(wanted) {
  if (wanted) {
    lock.hidden = false;
    key.focus();
  } else if (key.value) {
    sessionStorage.setItem("key", key.value);
  }
}

// follow shows how far a search has come, and then its answer.
async function follow(body) {
  const reader = body.pipeThrough(new TextDecoderStream()).getReader();
  let text = "";
  for (;;) {
    const { value, done } = await reader.read();
    if (done) throw new Error("the stream ended before its result");
    text += value.replaceAll("\r", "");
    for (let end = text.indexOf("\n\n"); end >= 0; end = text.indexOf("\n\n")) {
      const lines = text.slice(0, end).split("\n");
      text = text.slice(end + 2);
      const event = (lines.find((l) => l.startsWith("event:")) || "").slice(6).trim();
      const data = lines.filter((l) => l.startsWith("data:")).map((l) => l.slice(5)).join("\n");
      if (event === "result") return show(JSON.parse(data));
      if (event === "problem") return showMistakes(JSON.parse(data));
      if (event === "progress") progress(JSON.parse(data));
    }
  }
}

function progress(p) {
  answer.replaceChildren(make("p", {}, make("b", {}, "Searching: "), "the best plan so far costs " + p.cost + ", and none costs less than " + p.lower_bound + "; " + Math.round(p.seconds) + " s."));
}

// remember puts what is filled in into the address, so that it can be bookmarked and
// sent to others: behind a #, which no server sees, what is too long for servers.
function remember() {
  const query = new URLSearchParams();
  for (const e of filled()) query.set(e.name, e.value);
  history.replaceState(null, "", location.pathname + (String(query).length > 4000 ? "#" : "?") + query);
}

// An answer to what the form said before must not pass for one to what it says now.
form.addEventListener("input", () => {
  if (!answer.querySelector("dl, .scroll") || answer.querySelector(".changed")) return;
  answer.prepend(make("p", { class: "trouble changed" }, "The form was changed since this answer: work it out again."));
});

form.addEventListener("submit", (event) => {
  event.preventDefault();
  ask();
});

document.getElementById("clear").addEventListener("click", () => {
  form.reset();
  chooseUnits();
  clearMistakes();
  history.replaceState(null, "", location.pathname);
  answer.replaceChildren(make("p", { class: "hint" }, "Fill in the form: the answer comes here."));
});

// chooseUnits begins an empty form with the units that were chosen last.
function chooseUnits() { form.elements.namedItem("units").value = localStorage.getItem("units") || ""; }

form.addEventListener("change", (event) => {
  if (event.target.name === "units") localStorage.setItem("units", event.target.value);
});

key.value = sessionStorage.getItem("key") || "";
lock.hidden = !key.value;

// An address with values in it fills in the form and asks at once.
const given = new URLSearchParams(location.search || (location.hash.includes("=") ? location.hash.slice(1) : ""));
for (const [name, value] of given) {
  const field = form.elements.namedItem(name); // elements[name] is no field where it is called length
  if (!field) continue;
  field.value = value;
  if (field.value !== value && field.options) field.add(new Option(value, value, true, true)); // a name that this service does not have: it says so
  const inside = field.closest("details");
  if (inside) inside.open = true;
}
if ([...given].length) form.requestSubmit(); else chooseUnits();

// A long row of calculators shows the one that is open.
document.querySelector("nav [aria-current]").scrollIntoView({ block: "nearest", inline: "center" });
