/** The words for what a record is and how it stands: the same on every screen. */
import { capital, say, sayMany } from "./tongue.js";

export const STATES = { kept: say("stored on this phone"), waiting: say("waits for what it belongs to"), sent: say("sent"), parked: say("needs attention"), stored: say("sent") };
export const SHAPES = { kept: "soon", waiting: "soon", sent: "done", parked: "late", stored: "done" };

export const HUNTS = { planned: say("planned"), open: say("open"), running: say("running"), closed: say("closed"), "called off": say("called off") };

const KINDS = { hole: say("Hole"), find: say("Find"), reading: say("Ground reading"), incident: say("Incident"), fill: say("Hole filled"), change: say("Correction"), track: say("Track"), sign_out: say("Sign-out") };

/** A reading and an incident stay as they are once they were sent; a hole and a find can be corrected until the hunt closes. */
export const isEditable = ({ kind, state }) => ["hole", "find"].includes(kind) || (["reading", "incident"].includes(kind) && state !== "sent");

/** "Hole, 18 cm", "Find: buckle". */
export function titleOf({ kind, data }) {
  if (kind === "hole" && data.depth_cm) return say("Hole, %(depth)s cm", { depth: data.depth_cm });
  if (kind === "find") return say("Find: %(what)s", { what: data.object_type });
  if (kind === "incident") return say("Incident: %(what)s", { what: data.kind });
  return KINDS[kind] ?? kind;
}

/** The line at the top of every screen: how many wait, how many need a person. */
export function lineOf({ kept, parked, photos, sending, stop }) {
  const waits = [kept && say("%(count)s stored on this phone", { count: kept }), photos && sayMany("%(count)s photograph to go", "%(count)s photographs to go", photos)];
  const words = [...waits, parked && sayMany("%(count)s needs attention", "%(count)s need attention", parked)].filter(Boolean).join(", ");
  if (!words) return { shape: "done", words: say("All sent") };
  const more = stop ? ` · ${say("sign in to send")}` : sending ? ` · ${say("sending")}` : "";
  return { shape: parked || stop ? "late" : "soon", words: capital(words) + more };
}
