"""What the storm runs inside the page, by the page's own modules."""

MODULE = """async (name) => {
    const store = await import("/static/js/field/store.js");
    while (!store.account()) await new Promise((go) => setTimeout(go, 20));
    return import(`/static/js/field/${name}.js`);
  }"""
"""A module of the page, once the page has opened its store: a newer worker may just have loaded it afresh."""

CLOCK = """(() => {
  if (!location.protocol.startsWith("http")) return;
  const next = localStorage.getItem("test-skew-next");
  if (next !== null) localStorage.setItem("test-skew", next);
  localStorage.removeItem("test-skew-next");
  const Plain = Date;
  const skew = () => Number(localStorage.getItem("test-skew") ?? AHEAD);
  window.Date = class extends Plain {
    constructor(...given) { super(...(given.length ? given : [Plain.now() + skew()])); }
    static now() { return Plain.now() + skew(); }
  };
})()"""
"""A device's clock that is out; `performance.now` goes on as it does on a phone."""

PACK = """async () => {
  const [pack] = await Promise.all(["pack"].map(MODULE));
  return Boolean(await pack.current());
}""".replace("MODULE", MODULE)

MAKE = """async (row) => {
  const [records, pack, session] = await Promise.all(["records", "pack", "session"].map(MODULE));
  await records.add(row, await pack.current());
  session.tell("saved");
}""".replace("MODULE", MODULE)

EDIT = """async ([key, fields]) => {
  const [records, store, session] = await Promise.all(["records", "store", "session"].map(MODULE));
  const row = await store.get("records", key);
  await records.edit(key, { ...row.data, ...fields });
  session.tell("saved");
}""".replace("MODULE", MODULE)

PICTURE = """async ({ name, of, owner, data }) => {
  const [photos, pack, session] = await Promise.all(["photos", "pack", "session"].map(MODULE));
  if ((await photos.all()).some((row) => row.name === name)) return;
  const bytes = Uint8Array.from(atob(data), (sign) => sign.charCodeAt(0));
  const file = new File([bytes], name, { type: "image/jpeg" });
  await photos.add(file, { of, owner, shows: "before" }, (await pack.current()).keep_until);
  session.tell("saved");
}""".replace("MODULE", MODULE)

STANDING = """async (send) => {
  const names = ["records", "photos", "queue", "session"];
  const [records, photos, queue, session] = await Promise.all(names.map(MODULE));
  const rows = await records.all();
  const pictures = await photos.all();
  const parked = rows.filter((row) => row.state === "parked");
  const held = new Set(parked.map((row) => row.client_id));
  const due = ({ state, owner }) => state === "kept" || (state === "waiting" && !held.has(owner));
  const waits = [...rows, ...pictures].filter(due);
  if (send && waits.length && !session.session.sending) queue.send();
  return {
    records: Object.fromEntries(rows.map((row) => [row.client_id, row.state])),
    why: parked.map((row) => row.why),
    waits: waits.map((row) => JSON.stringify(row)),
    envelopes: rows.map(records.envelope),
    sending: session.session.sending,
  };
}""".replace("MODULE", MODULE)
"""What the phone has; with `send`, it is asked to send as the button on its list of records does. A photograph of a
record that needs attention is sent as well, and waits with it at the club's server."""

TRY_AGAIN = """async () => {
  const [records, photos, session] = await Promise.all(["records", "photos", "session"].map(MODULE));
  const parked = (rows) => rows.filter(({ state }) => state === "parked");
  for (const row of parked(await records.all())) await records.retry("records", row.client_id);
  for (const row of parked(await photos.all())) await records.retry("photos", row.client_id);
  session.tell("saved");
}""".replace("MODULE", MODULE)
"""The button "Try again" of everything that needs attention."""

REPLAY = """async (records) => {
  const [api, store] = await Promise.all(["api", "store"].map(MODULE));
  const json = { v: 1, account: store.account(), now: new Date().toISOString(), records };
  await Promise.all([1, 2].map(() => api.call("records/", { method: "POST", json })));
}""".replace("MODULE", MODULE)
