/** Every screen by the first word of its address; `needs` a stored hunt, or goes on with a `bare` one. */
import * as find from "./screens/find.js";
import * as hole from "./screens/hole.js";
import * as holes from "./screens/holes.js";
import * as home from "./screens/home.js";
import * as hunt from "./screens/hunt.js";
import * as incident from "./screens/incident.js";
import * as kit from "./screens/kit.js";
import * as last from "./screens/last.js";
import * as out from "./screens/out.js";
import * as queue from "./screens/queue.js";
import * as reading from "./screens/reading.js";
import * as stop from "./screens/stop.js";
import * as where from "./screens/where.js";

const needs = { hole, find, reading, incident, holes, last, out, kit };

export const SCREENS = {
  "": home,
  hunt,
  stop,
  queue,
  where: { title: where.title, show: where.show, bare: true },
  ...Object.fromEntries(Object.entries(needs).map(([name, { title, show }]) => [name, { title, show, needs: true }])),
};
