// Sends an order through a client generated from the published document: the
// plan, the run sheet of every billet, and a price for it all. Prints what the
// plan costs, how many sheets there are, how long they take and the price.
//
//   node order.js ADDRESS < order.json
import { readFileSync } from "node:fs";
import createClient from "openapi-fetch";
import type { components, paths } from "./resawd.js";

type Schemas = components["schemas"];

// The document offers pages, drawings and tables beside JSON; a client that
// takes these two alone gets objects, not unions with text.
const client = createClient<paths, "application/json" | "application/problem+json">({
  baseUrl: process.argv[2]!,
  headers: { Accept: "application/json" },
});

function answered<T>(what: string, answer: { data?: T; error?: Schemas["Problem"] }): T {
  if (answer.data === undefined) throw new Error(`${what}: ${answer.error?.detail}`);
  return answer.data;
}

const order = JSON.parse(readFileSync(0, "utf8")) as Schemas["PlanRequest"];
const plan = answered("plan", await client.POST("/v1/plan", { body: order }));

let sheets = 0;
let seconds = 0;
for (const board of plan.taken) {
  for (const billet of board.billets) {
    if (billet.run === undefined) continue;
    const run = answered(`run of ${billet.mark}`, await client.POST("/v1/run", { body: billet.run }));
    sheets += board.copies;
    seconds += board.copies * run.summary.cutting_seconds;
  }
}

const price = answered("price", await client.POST("/v1/price", {
  body: { wood_cost: plan.cost, leaf_count: plan.stats.leaf_count, run_seconds: seconds },
}));

console.log(plan.status, plan.cost.toFixed(2), sheets, seconds.toFixed(0), price.total.toFixed(2));

// A refusal is typed, too: a leaf thicker than its board.
const refusal = await client.POST("/v1/yield", { body: { board_thickness: 1, leaf_thickness: "2 in" } });
if (!refusal.error?.errors?.length) throw new Error("a leaf thicker than its board was not refused");
