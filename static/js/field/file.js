/** Files for the person to keep: what is not sent, for the club's page or another phone; the phone asks where. */
import { el } from "./dom.js";
import * as records from "./records.js";
import * as store from "./store.js";

/** Everything that is not sent, as the file that the club's page takes in. */
export async function unsent() {
  const rows = (await records.all()).filter((row) => row.state !== "sent");
  return { v: 1, account: store.account(), now: new Date().toISOString(), records: rows.map(records.envelope) };
}

export function hand(content, name) {
  const blob = content instanceof Blob ? content : new Blob([JSON.stringify(content, null, 1)], { type: "application/json" });
  const url = URL.createObjectURL(blob);
  const link = el("a", { href: url, download: name, hidden: true }, name);
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 60_000); // some browsers read it only after the question where to
}
