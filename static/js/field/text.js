/** Records to the server, a few at a time and more where it answers quickly, and what came of each. */
import { call } from "./api.js";
import * as records from "./records.js";
import { leave } from "./session.js";
import * as store from "./store.js";
import { say } from "./tongue.js";

const MOST = 20;
const QUICK_MS = 2_000;
const SLOW_MS = 10_000;

let most = 5; // a hundred phones at once are then all answered before any of them loses patience

const isDue = ({ state }, retry) => ["kept", "waiting"].includes(state) || (retry && state === "parked");

/** Send the next records that are due: "more" if some went, "done" if there are none, "later" or "stop" as the server says. */
export async function sendText(tried, retry) {
  const due = (await records.all()).filter((row) => isDue(row, retry) && !tried.has(`${row.client_id} ${row.rev}`));
  const rows = due.slice(0, most);
  if (!rows.length) return "done";
  const json = { v: 1, account: store.account(), now: new Date().toISOString(), records: rows.map(records.envelope) };
  const began = Date.now();
  const { status, data } = await call("records/", { method: "POST", json });
  const took = Date.now() - began;
  if (took > SLOW_MS) most = Math.max(1, Math.floor(rows.length / 2));
  if (status === 200 && Array.isArray(data.results)) {
    if (took < QUICK_MS) most = Math.min(MOST, most * 2);
    return settleAll(rows, data.results, tried);
  }
  if (status === 413 || status === 400) return smaller(rows, data, tried);
  return leave(status, data) ? "stop" : "later";
}

async function settleAll(rows, results, tried) {
  let settled = 0;
  for (const row of rows) {
    const result = results.find((each) => each.client_id === row.client_id);
    tried.add(`${row.client_id} ${row.rev}`);
    if (!result) continue;
    await records.settle(row, result);
    settled += 1;
  }
  return settled ? "more" : "later";
}

/** Something in the batch cannot be read: halve it until that one is found, and keep it here with the reason. */
async function smaller(rows, data, tried) {
  most = Math.max(1, Math.floor(rows.length / 2));
  if (rows.length > 1) return "more";
  const why = data.why ?? say("It is too long for the club's server. Shorten the words, or save it to a file and hand that over.");
  await records.settle(rows[0], { state: "parked", why });
  tried.add(`${rows[0].client_id} ${rows[0].rev}`);
  return "more";
}
