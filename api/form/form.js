// What a form does beyond what a browser does by itself: it asks its calculator
// without leaving the page, shows the answer, puts each mistake beside its field
// and follows a search.

const answer = document.getElementById("answer");
const trouble = form.querySelector(".trouble");
const lock = document.getElementById("lock");

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
const worded = (text) => text.replace(", or set decimal to comma", "").replace("/v1/", "").replace(/"[^"]*"|\b[a-z]+([._][a-z0-9]+)+\b/g, (name) => {
  if (name.startsWith('"')) return name; // what was written
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

// Clear opens the empty form, so that the way back leads to what was written.
document.getElementById("clear").addEventListener("click", () => {
  remember();
  location.assign(location.pathname);
});

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
if ([...given].length) form.requestSubmit();
else form.elements.namedItem("units").value = localStorage.getItem("units") || ""; // as chosen last

// A long row of calculators shows the one that is open.
document.querySelector("nav [aria-current]").scrollIntoView({ block: "nearest", inline: "center" });
