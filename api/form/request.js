// How what is filled in becomes a request. request.js, answer.js and form.js are served as
// one script, in this order.
"use strict";

const form = document.getElementById("form");
const key = document.getElementById("key");
const isTrue = (name) => form.dataset[name] === "true";

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
const pointed = (text) => plain(text).replace(/(^|[^\d.,])(\d*),(\d+)(?![\d.,])/g, (all, before, whole, part) =>
  part.length === 3 && Number(whole) ? all : before + whole + "." + part);

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
