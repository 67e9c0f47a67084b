/** The words for what a record is and how it stands: the same on every screen. */

export const STATES = { kept: "stored on this phone", waiting: "waits for what it belongs to", sent: "sent", parked: "needs attention", stored: "sent" };
export const SHAPES = { kept: "soon", waiting: "soon", sent: "done", parked: "late", stored: "done" };

const KINDS = { hole: "Hole", find: "Find", reading: "Ground reading", incident: "Incident", fill: "Hole filled", change: "Correction", track: "Track", sign_out: "Sign-out" };

/** A reading and an incident stay as they are once they were sent; a hole and a find can be corrected until the hunt closes. */
export const isEditable = ({ kind, state }) => ["hole", "find"].includes(kind) || (["reading", "incident"].includes(kind) && state !== "sent");

/** "Hole, 18 cm", "Find: buckle". */
export function titleOf({ kind, data }) {
  if (kind === "hole" && data.depth_cm) return `Hole, ${data.depth_cm} cm`;
  if (kind === "find") return `Find: ${data.object_type}`;
  if (kind === "incident") return `Incident: ${data.kind}`;
  return KINDS[kind] ?? kind;
}

/** The line at the top of every screen: how many wait, how many need a person. */
export function lineOf({ kept, parked, photos, sending, stop }) {
  const waits = [kept && `${kept} stored on this phone`, photos && `${photos} photograph${photos === 1 ? "" : "s"} to go`];
  const words = [...waits, parked && `${parked} need${parked === 1 ? "s" : ""} attention`].filter(Boolean).join(", ");
  if (!words) return { shape: "done", words: "All sent" };
  const more = stop ? " · sign in to send" : sending ? " · sending" : "";
  return { shape: parked || stop ? "late" : "soon", words: words.charAt(0).toUpperCase() + words.slice(1) + more };
}
